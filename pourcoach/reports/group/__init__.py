"""Many brews of one person or of several: what is usual, what repeats, what changes."""
