"""Work at a scale apart from brewing: calibrating it, checking it, learning how it speaks."""
