"""Who changed what, and when: the log of edits, and the way back."""
