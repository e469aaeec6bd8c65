"""Grades of a criterion: what the eye gives, and what the figure earns."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.practice.judging.agreement import Agreement, agreement, counted

GRADES = ("far off", "a little off", "met")
"""In rising order. Three, since an eye distinguishes no more (common practice)."""
LITTLE = 0.5
"""Of the width of its bounds: so far outside a figure is a little off; common practice."""


@dataclass(frozen=True, slots=True)
class Graded:
    """One criterion of one brew, by both."""

    criterion: str
    stage: str | None
    eye: int
    """Index in GRADES."""
    scale: int


def grade_of(value: float | None, least: float, most: float) -> int:
    """Of a figure with its bounds; None is one that was not seen, and so far off."""
    if value is None:
        return 0
    outside = max(least - value, value - most, 0.0)
    if outside == 0.0:
        return 2
    width = most - least
    if not math.isfinite(width) or width <= 0:
        # Bounded on one side: the bound itself is the measure.
        width = abs(least if value < least else most) or 1.0
    return 1 if outside <= LITTLE * width else 0


def eye_and_scale(graded: Sequence[Graded]) -> Agreement | None:
    """Weighted kappa over all criteria of all brews; None where it does not exist."""
    return agreement(
        counted([each.eye for each in graded], [each.scale for each in graded], len(GRADES))
    )
