"""Who changed what, and when; edits taken back; the last look."""
