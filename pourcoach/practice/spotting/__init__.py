"""Seeing a fault: how well, how soon, and how small a one."""
