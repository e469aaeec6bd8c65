"""``pourcoach sessions``: the brews that are kept."""
