"""The dates topic: what date can be promised."""
