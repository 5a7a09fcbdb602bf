"""Outlines drawn on stills, held beside those of a sculpt."""
