"""The slope of figures over time, by the median over all pairs: a few wild ones do not move it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import sqrt
from statistics import NormalDist, median

from pourcoach.statistics.kendall import mann_kendall, s_variance

LEAST_POINTS = 5
"""With four, even a slope of every pair has a two-sided p of 0.083: nothing can be said at 95 %."""


@dataclass(frozen=True, slots=True)
class Trend:
    """A straight line through figures, with the interval of its slope."""

    count: int
    slope: float
    """Figures' unit a unit of time."""
    level: float
    """Where the line stands at time 0."""
    slope_low: float
    slope_high: float
    is_seen: bool
    """Whether figures rise or fall by more than chance (Mann–Kendall at the same confidence). Many
    equal figures can put the end of the interval on 0 and still show it."""

    def at(self, time: float) -> float:
        """The line at a time."""
        return self.level + self.slope * time


def theil_sen(
    times: Sequence[float],
    figures: Sequence[float],
    confidence: float = 0.95,
    least: int = LEAST_POINTS,
) -> Trend | None:
    """None with fewer than ``least`` points or where the times do not differ.

    The interval takes Kendall's S as normal, as Sen does; with few points it is a little wide.
    Sources: Theil 1950, Sen 1968.
    """
    points = sorted(zip(times, figures, strict=True))
    slopes = sorted(
        (later[1] - earlier[1]) / (later[0] - earlier[0])
        for earlier, later in combinations(points, 2)
        if later[0] > earlier[0]
    )
    if len(points) < least or not slopes:
        return None
    slope = median(slopes)
    outside = _outside(times, figures, len(slopes), confidence)
    return Trend(
        len(points),
        slope,
        median(figure - slope * time for time, figure in points),
        slopes[outside],
        slopes[len(slopes) - 1 - outside],
        mann_kendall(figures, times).p_value <= 1.0 - confidence,
    )


def _outside(
    times: Sequence[float], figures: Sequence[float], slopes: int, confidence: float
) -> int:
    """How many of the smallest slopes, and of the largest, lie outside the interval."""
    variance = s_variance(times, figures)
    reach = NormalDist().inv_cdf(0.5 + confidence / 2.0) * sqrt(max(variance, 0.0))
    return max(0, min(round((slopes - reach) / 2.0) - 1, (slopes - 1) // 2))
