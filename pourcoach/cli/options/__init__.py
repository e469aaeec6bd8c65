"""Options that several commands take, each with its type, its bounds and its messages."""
