"""A table's or line.toml's text as rows, and where each stands."""
