"""What would help a head most: further stills, outlines or landmarks."""
