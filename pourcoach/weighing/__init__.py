"""Is this scale good enough to judge a pour? Readings with known loads in, figures out."""
