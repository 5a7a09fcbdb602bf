"""What is believed of how a sculpt is off, before and after the stills are heard."""
