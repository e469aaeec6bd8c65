"""Brew time as it is read."""

from math import floor

from pourcoach.domain.units import Seconds


def clock(time_s: Seconds) -> str:
    """Brew time as ``m:ss``, in whole seconds passed; a minus before the first water.

    To the nearest tenth of a second first: a stage that began 0.04 s before its time began on time.
    """
    minutes, seconds = divmod(floor(round(abs(time_s), 1)), 60)
    return f"{'-' if time_s <= -1.0 else ''}{minutes}:{seconds:02d}"
