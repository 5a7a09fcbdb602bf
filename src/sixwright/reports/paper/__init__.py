"""Documents as PDF and PNG, set by typst."""
