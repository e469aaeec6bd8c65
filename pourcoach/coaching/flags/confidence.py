"""How sure it is that a measure lies beyond its limit."""

from math import erf, sqrt

LIKELY = 0.75
"""Below this an uneven pour is neither reported nor marked as missed: few pours are uneven."""
SUREST = 0.99
"""The highest confidence of any flag that rests on a scale alone."""


def probability_above(measured: float, limit: float, error: float) -> float:
    """Return the probability, 0 to 1, that the true value lies above ``limit``, with a normal
    ``error``."""
    chance = 0.5 * (1.0 + erf((measured - limit) / (max(error, 1e-9) * sqrt(2.0))))
    return min(SUREST, chance)
