"""The middle of some figures and how far they lie apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from pourcoach.statistics.binomial import at_least


@dataclass(frozen=True, slots=True)
class Spread:
    """Of at least one figure. All but ``count`` are in the unit of the figures."""

    count: int
    median: float
    low: float
    """Lower quartile."""
    high: float
    """Upper quartile."""
    median_low: float | None
    """Bounds of the median at 95 %; None with fewer than six figures, which give none."""
    median_high: float | None

    @property
    def width(self) -> float:
        """Between the quartiles: the middle half of the figures lies within."""
        return self.high - self.low


def spread(figures: Sequence[float]) -> Spread:
    """Quartiles by linear interpolation, the median's bounds by counting: as many figures lie
    outside of them as a fair coin would put there, whatever the figures are like. Raises ValueError
    where there is no figure.

    Source of the bounds: Hollander & Wolfe, Nonparametric Statistical Methods (from memory).
    """
    if not figures:
        raise ValueError("no figures")
    ordered = sorted(figures)
    count = len(ordered)
    outside = _outside(count)
    return Spread(
        count,
        median(ordered),
        _quantile(ordered, 0.25),
        _quantile(ordered, 0.75),
        None if outside is None else ordered[outside],
        None if outside is None else ordered[count - 1 - outside],
    )


def _outside(count: int, confidence: float = 0.95) -> int | None:
    """How many of the smallest, and of the largest, may be left out."""
    tail = (1.0 - confidence) / 2.0
    found = None
    for left_out in range(count // 2):
        # The median lies below the (left_out + 1)-th smallest with P(X <= left_out).
        if 1.0 - at_least(left_out + 1, count, 0.5) > tail:
            break
        found = left_out
    return found


def _quantile(ordered: Sequence[float], share: float) -> float:
    place = share * (len(ordered) - 1)
    below = int(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])
