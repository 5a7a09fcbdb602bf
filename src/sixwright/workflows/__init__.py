"""What each topic needs, the arrows between topics, and the review of a whole line."""
