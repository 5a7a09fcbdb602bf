"""What leaves the tool as data."""
