"""The cue: the one thing to do now."""
