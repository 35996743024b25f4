"""Heat: temperatures, figures, limits, checks."""
