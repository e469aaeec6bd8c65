"""Marks of a finished brew by a rubric."""
