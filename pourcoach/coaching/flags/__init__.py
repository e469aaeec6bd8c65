"""What is noted about a brew: a module a family, and the book that keeps them."""
