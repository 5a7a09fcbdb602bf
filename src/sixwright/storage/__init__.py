"""The only reader and writer of a line folder; cache and history."""
