"""A terminal as lines of text and single keys, without the screens."""
