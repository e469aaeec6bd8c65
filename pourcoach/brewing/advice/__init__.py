"""What to change for the next brew, one thing at a time."""
