"""Figures as they are said: one clock and one rounding for screen, text and report."""

from math import ceil

from pourcoach.domain.units import Grams, Seconds

ROUNDING_S: Seconds = 1e-6
"""No last bit of a difference of times may add a second to a countdown."""


def grams(mass_g: Grams) -> str:
    """``12 g``; a tenth below ten."""
    return f"{mass_g:.1f} g" if abs(mass_g) < 9.95 else f"{mass_g:.0f} g"


def seconds(time_s: Seconds) -> str:
    """``1.4 s``; whole from ten on."""
    return f"{time_s:.1f} s" if abs(time_s) < 9.95 else f"{time_s:.0f} s"


def how_many(count: int, noun: str) -> str:
    """``1 brew``, ``3 brews``: of nouns that take an s."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def total(mass_g: Grams) -> str:
    """``318.6 g``: a weight or a total of water, to the tenth that a scale shows."""
    return f"{round(mass_g, 1) + 0.0:.1f} g"


def countdown(left_s: Seconds) -> int:
    """Whole seconds left, rounded up: 0 must not be said while there is still time to wait."""
    return max(0, ceil(left_s - ROUNDING_S))


def percent(share: float) -> str:
    """``25 %``."""
    return f"{100.0 * share:.0f} %"
