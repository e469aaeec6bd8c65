"""Codes of a 24-bit bridge converter: two's complement, with both ends meaning saturation."""

from pourcoach.domain.errors import UsageError

BITS = 24
HIGHEST = (1 << (BITS - 1)) - 1
LOWEST = -HIGHEST - 1


def signed_code(code: int) -> int:
    """The signed value of 24 bits as they were clocked out, top bit first.

    Raises UsageError for what does not fit in 24 bits.
    """
    if not 0 <= code < 1 << BITS:
        raise UsageError(f"code {code:#x} has more than {BITS} bits", "give 0 to 0xffffff")
    # Not an exclusive-or with the top bit: that gives offset binary.
    return code - (1 << BITS) if code > HIGHEST else code


def saturated(signed: float) -> bool:
    """Whether a signed value is an end of the range: the true load may be anything beyond it."""
    return signed <= LOWEST or signed >= HIGHEST
