"""Charts as a list of shapes, which is written as SVG or painted as PNG."""
