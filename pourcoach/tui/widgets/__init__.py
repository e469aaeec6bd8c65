"""Widgets: each shows one value, drawn by a renderable, and repaints only what changed."""
