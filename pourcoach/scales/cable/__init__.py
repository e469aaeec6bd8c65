"""Scales on serial ports."""
