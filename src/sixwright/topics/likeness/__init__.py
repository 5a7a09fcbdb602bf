"""The topic likeness: does it hold from every side."""
