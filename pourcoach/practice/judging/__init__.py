"""Judging a brew by eye, and how far that agrees with the figures."""
