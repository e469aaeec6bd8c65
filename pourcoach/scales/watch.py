"""How a scale behaves, measured from its readings: rate, noise, step, gaps."""

from collections import deque
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Hertz, Seconds

# Long enough to average over bursts, short enough to follow a change of rate.
WINDOW_S: Seconds = 3.0
# For a normal distribution the median of absolute first differences is 0.954 sigma:
# 0.6745 (the quartile) times the square root of 2.
MEDIAN_DIFFERENCE_IN_SIGMA = 0.954


@dataclass(frozen=True, slots=True)
class Behaviour:
    """Over the last WINDOW_S; None where it cannot be said yet."""

    grams: Grams
    rate_hz: Hertz | None
    noise_g: Grams | None
    """Standard deviation of one reading, from the differences of neighbours: holds at rest."""
    longest_gap_s: Seconds | None


class ScaleWatch:
    """Feed it readings; ask it how the scale behaves."""

    def __init__(self) -> None:
        self._recent: deque[Reading] = deque()

    def feed(self, reading: Reading) -> None:
        self._recent.append(reading)
        while reading.t_s - self._recent[0].t_s > WINDOW_S:
            self._recent.popleft()

    def behaviour(self) -> Behaviour | None:
        """None before the first reading."""
        if not self._recent:
            return None
        readings = list(self._recent)
        grams = readings[-1].grams
        span_s = readings[-1].t_s - readings[0].t_s
        if len(readings) < 5 or span_s <= 0:
            return Behaviour(grams, None, None, None)
        pairs = list(pairwise(readings))
        differences = [abs(after.grams - before.grams) for before, after in pairs]
        return Behaviour(
            grams,
            len(pairs) / span_s,
            median(differences) / MEDIAN_DIFFERENCE_IN_SIGMA,
            max(after.t_s - before.t_s for before, after in pairs),
        )
