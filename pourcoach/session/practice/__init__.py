"""Practice: drills and their sittings, spotting faults, marking by eye, and what was learnt."""
