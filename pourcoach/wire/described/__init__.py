"""Scales that a description teaches: reading it, writing it, and decoding by it."""
