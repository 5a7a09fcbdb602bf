"""The pages, served on this machine alone."""
