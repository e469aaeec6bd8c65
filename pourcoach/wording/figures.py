"""Figures as they are said."""

from pourcoach.domain.units import Grams, Seconds


def grams(mass_g: Grams) -> str:
    """``12 g``; a tenth below ten."""
    return f"{mass_g:.1f} g" if abs(mass_g) < 9.95 else f"{mass_g:.0f} g"


def seconds(time_s: Seconds) -> str:
    """``1.4 s``; whole from ten on."""
    return f"{time_s:.1f} s" if abs(time_s) < 9.95 else f"{time_s:.0f} s"


def clock(time_s: Seconds) -> str:
    """Brew time as ``m:ss``."""
    whole = max(0, round(time_s))
    return f"{whole // 60}:{whole % 60:02d}"


def percent(share: float) -> str:
    """``25 %``."""
    return f"{100.0 * share:.0f} %"
