"""A recording played in the brew screen, at any speed, forward and back."""
