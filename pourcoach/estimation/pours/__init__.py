"""Pours found, ended, and refitted in hindsight."""
