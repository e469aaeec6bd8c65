"""Brews that are kept: entered in the library, found again by name, listed."""
