"""The only place where values, findings and changes become text for people."""
