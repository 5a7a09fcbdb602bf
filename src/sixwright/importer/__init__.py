"""A producer's own spreadsheet as a new line: what each column is read as, and why."""
