"""sixwright: one project folder for a sixth-scale figure line, and everything computed from it."""
