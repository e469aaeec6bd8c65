"""Brew water: what is in it, what it does, how to change it."""
