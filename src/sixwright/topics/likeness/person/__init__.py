"""All stills of one person solved together, from the rows of the folder."""
