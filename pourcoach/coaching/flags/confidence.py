"""How surely a measure lies beyond its limit."""

from math import erf, sqrt

LIKELY = 0.75
"""Below this an uneven pour is neither reported nor marked as missed: few pours are
uneven, and nobody is blamed on a toss."""
SUREST = 0.99
"""No figure from a scale alone is surer than this about a hand."""


def probability_above(measured: float, limit: float, error: float) -> float:
    """Probability that the true value lies above ``limit``, with normal ``error``, 0 to 1."""
    chance = 0.5 * (1.0 + erf((measured - limit) / (max(error, 1e-9) * sqrt(2.0))))
    return min(SUREST, chance)
