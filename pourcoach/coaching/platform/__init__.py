"""What stands on the scale: armed, begun, lifted, drained, silent, over."""
