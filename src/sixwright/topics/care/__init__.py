"""What could hurt someone: hazards as stated, cautions, and what is still to be said."""
