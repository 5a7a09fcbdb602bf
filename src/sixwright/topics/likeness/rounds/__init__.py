"""Each round of a sculpt judged, and what moved from one to the next."""
