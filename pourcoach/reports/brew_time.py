"""Brew time as people read it."""

from pourcoach.domain.units import Seconds


def clock(span_s: Seconds) -> str:
    """Minutes and the nearest whole second; a minus before the first water."""
    minutes, seconds = divmod(round(abs(span_s)), 60)
    return f"{'-' if span_s <= -0.5 else ''}{minutes}:{seconds:02d}"
