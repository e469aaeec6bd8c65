"""Scales that this program works out itself: simulated, replayed, or under a simulated kettle."""
