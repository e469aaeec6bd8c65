"""Loads of known mass, and the limits of error that weighing instruments are held to."""
