"""The review after a brew, and what the brewer adds to it."""
