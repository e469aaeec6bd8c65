"""The plan as it is followed: its stages, their bounds, and where the pour stands."""
