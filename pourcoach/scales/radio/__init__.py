"""Scales over Bluetooth Low Energy."""
