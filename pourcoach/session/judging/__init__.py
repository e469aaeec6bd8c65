"""Kept brews judged: one by one, or many on all cores."""
