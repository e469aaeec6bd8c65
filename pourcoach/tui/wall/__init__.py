"""The wall: all stations of a class at once."""
