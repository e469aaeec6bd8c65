"""The slope of figures over time, by the median over all pairs: a few wild ones do not move it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import sqrt
from statistics import NormalDist, median

from pourcoach.statistics.kendall import s_variance

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

    @property
    def is_seen(self) -> bool:
        """Whether its interval leaves out that there is no trend."""
        return self.slope_low > 0.0 or self.slope_high < 0.0

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
    )


def _outside(
    times: Sequence[float], figures: Sequence[float], slopes: int, confidence: float
) -> int:
    """How many of the smallest slopes, and of the largest, lie outside the interval."""
    count = len(times)
    variance = s_variance(times) + s_variance(figures) - s_variance(range(count))
    reach = NormalDist().inv_cdf(0.5 + confidence / 2.0) * sqrt(max(variance, 0.0))
    return max(0, min(round((slopes - reach) / 2.0) - 1, (slopes - 1) // 2))
