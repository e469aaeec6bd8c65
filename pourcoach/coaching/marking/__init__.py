"""A finished brew held against a rubric."""
