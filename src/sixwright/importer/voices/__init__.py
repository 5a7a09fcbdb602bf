"""Votes and comments as other programs export them, taken into a line."""
