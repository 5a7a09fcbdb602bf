"""Documents as command output."""
