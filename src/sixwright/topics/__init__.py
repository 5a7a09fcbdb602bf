"""One folder a topic; each answers one question and imports no other topic."""
