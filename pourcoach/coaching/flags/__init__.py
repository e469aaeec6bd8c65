"""The flags of a brew: one module for each family, and the book that keeps them."""
