"""What each test of a scale measures: one module a test."""
