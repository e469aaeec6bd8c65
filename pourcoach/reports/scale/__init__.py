"""A scale's own figures: its calibration, its check, how well it can judge a pour."""
