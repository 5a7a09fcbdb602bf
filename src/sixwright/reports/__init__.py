"""Documents and pictures drawn as HTML, PDF, SVG, text and JSON."""
