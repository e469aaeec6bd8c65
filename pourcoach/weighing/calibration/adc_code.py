"""Codes of a 24-bit bridge converter: two's complement, with both ends meaning saturation."""

BITS = 24
HIGHEST = (1 << (BITS - 1)) - 1
LOWEST = -HIGHEST - 1


def saturated(signed: float) -> bool:
    """Whether a signed value is an end of the range: the true load may be anything beyond it."""
    return signed <= LOWEST or signed >= HIGHEST
