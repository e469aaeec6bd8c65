"""Dose, ratio and brewer in; a resolved pour plan out."""
