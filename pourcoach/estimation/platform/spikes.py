"""Single readings far off, which a converter makes and no touch."""

from collections import deque
from collections.abc import Sequence
from itertools import pairwise
from math import lgamma, log

from pourcoach.domain.units import Grams, Seconds

# What converter it is shows over the length of a brew; before anything has been seen, one reading
# in so many is thought to be a spike: cheap boards make one in twenty to one in a hundred, as their
# users report. Most boards make none: nine in ten (assumed).
SPIKES_OVER_S = 120.0
USUAL_READINGS = 50.0
MAKE_SPIKES = 0.1
# Readings in a row that spikes would make by chance no more often than this, a second, are a touch:
# once in a thousand brews.
BY_CHANCE_PER_S = 4e-6
# Of the readings under a touch no more lie as near the weight as this: it goes on, or swings
# through (assumed; within 1.5 g a swing of 5 g is for a fifth of the time). Counts where spikes are
# known.
NEAR_UNDER_TOUCH = 1.0 / 3.0


class SpikeWatch:
    """Learns how often spikes come, and distinguishes groups of them from touches."""

    __slots__ = ("_count", "_per_s", "_since_s", "_spikes_s")

    def __init__(self, since_s: Seconds, per_s: float | None = None) -> None:
        """``since_s``: when the readings began; ``per_s``: how many spikes a second the whole
        record has, where that is known already."""
        self._since_s, self._per_s = since_s, per_s
        self._count = 0
        self._spikes_s: deque[Seconds] = deque()

    @property
    def any_known(self) -> bool:
        """Whether the converter has made any of late."""
        return bool(self._spikes_s or self._per_s)

    def per_s(self, to_s: Seconds) -> float:
        """How many it has made a second, from the first reading up to this moment."""
        return self._count / max(to_s - self._since_s, SPIKES_OVER_S / USUAL_READINGS)

    def learn(self, times_s: Sequence[Seconds], sides: Sequence[int]) -> None:
        """Those of these readings that lie far off were spikes."""
        spikes_s = [t_s for t_s, side in zip(times_s, sides, strict=True) if side]
        self._spikes_s.extend(spikes_s)
        self._count += len(spikes_s)

    def explain(self, times_s: Sequence[Seconds], sides: Sequence[int]) -> bool:
        """Whether readings one after the other that lie far off to these sides (``side_of``), at
        least one of them, are rather spikes than a touch.

        Spikes come at random, to either side. Of probability p a reading, they make n among m
        readings, both ends among them, C(m - 2, n - 2) p^n (1 - p)^(m - n) times in as many
        readings: in half of them a neighbour lies to the same side, as under a touch, which leaves
        few of those in between where they were. What is known of p is a beta distribution, over
        which the mean counts, and the longer none has come, the more probably the converter makes
        none. One that stands alone, with readings beside it that show the weight, is one, for a
        touch goes on.
        """
        places = [place for place, side in enumerate(sides) if side]
        count, among = len(places), places[-1] - places[0] + 1
        if count == 1:
            return True
        period_s = (times_s[-1] - times_s[0]) / (len(times_s) - 1)
        known = self._known(times_s[0])
        over_s = min(max(times_s[0] - self._since_s, 0.0), SPIKES_OVER_S)
        if self._per_s is not None:
            known, over_s = self._per_s * SPIKES_OVER_S, SPIKES_OVER_S
        readings = over_s / period_s + USUAL_READINGS
        spikes, clean = known + 1.0, readings
        log_chance = _log_beta(spikes + count, clean + among - count) - _log_beta(spikes, clean)
        log_chance -= log(among - 1) + _log_beta(count - 1, among - count + 1)  # Of the ways.
        log_chance -= log(2.0) * sum(sides[one] == sides[other] for one, other in pairwise(places))
        if known == 0:
            silent = MAKE_SPIKES * USUAL_READINGS / readings
            log_chance += log(silent / (1.0 - MAKE_SPIKES + silent))
        else:
            log_chance -= log(NEAR_UNDER_TOUCH) * (among - count)
        return log_chance > log(BY_CHANCE_PER_S * period_s)

    def _known(self, t_s: Seconds) -> float:
        """How many it has made in the time before."""
        spikes_s = self._spikes_s
        while spikes_s and spikes_s[0] < t_s - SPIKES_OVER_S:
            spikes_s.popleft()
        return len(spikes_s)


def _log_beta(one: float, other: float) -> float:
    return lgamma(one) + lgamma(other) - lgamma(one + other)


def side_of(off_g: Grams, far_g: Grams) -> int:
    """To which side it is far off: 1 above, -1 below, 0 where it is not."""
    return 0 if abs(off_g) <= far_g else 1 if off_g > 0.0 else -1
