"""The one thing to do now."""
