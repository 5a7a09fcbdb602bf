"""Single sheets for others to read."""
