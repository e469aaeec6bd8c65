"""A whole check: what was seen, all of its figures, and what the scale is good enough for."""
