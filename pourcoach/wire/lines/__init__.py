"""Formats made of lines of text."""
