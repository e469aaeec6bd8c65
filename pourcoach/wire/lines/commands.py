"""The commands that the host sends to a scale of the line format, each a line."""

from pourcoach.domain.units import Hertz

TARE = b"tare\n"


def rate_command(rate_hz: Hertz) -> bytes:
    """Ask for this many readings a second."""
    return b"rate %d\n" % round(rate_hz)


def counts_command(on: bool) -> bytes:
    """Ask for raw counts in place of grams, or for grams again."""
    return b"counts on\n" if on else b"counts off\n"
