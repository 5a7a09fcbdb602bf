"""The line-up topic: what is in each box."""
