"""Pages: one self-contained HTML file each, from the values that screens and text are made from."""
