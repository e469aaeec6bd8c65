"""Blind comparisons of two samples: who is served what, and what the answers show."""
