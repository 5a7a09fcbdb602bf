"""The topic likeness: does the head look right from every side."""
