"""Measures a hand-poured coffee with a scale, guides the pour and keeps it for review."""

__version__ = "0.1.0"
