"""What was learnt, from tests alone."""
