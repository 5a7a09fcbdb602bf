"""The typed whole of a line; no disk."""
