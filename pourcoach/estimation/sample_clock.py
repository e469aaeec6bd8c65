"""When each reading was weighed, told from when it arrived."""

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Seconds

# Readings remembered by the fit of the clock: longer averages more jitter away, shorter follows
# a crystal that drifts. A minute at 10 Hz holds 50 parts in 10**6 to 3 ms.
MEMORY = 600
# An arrival this late against the clock is a pause, not jitter.
PAUSE_S = 0.75

# Readings before the period is told; no scale weighs faster than this.
LEAST_READINGS = 8
LEAST_PERIOD_S = 0.001


class SampleClock:
    """A scale weighs at a steady rate; the way to us adds delay, jitter and bursts.

    A straight line is fitted to arrival time over count of readings, by the least-squares filter
    of growing memory, held at ``MEMORY`` readings (Morrison 1969, "Introduction to Sequential
    Smoothing and Prediction"; gains from memory). The mean delay of the way cannot be seen from
    arrivals, so stamps are late by it.
    """

    __slots__ = ("_count", "_last_s", "_next_s", "_period_s")

    def __init__(self) -> None:
        self._count = 0
        self._next_s = 0.0
        self._period_s = 0.0
        self._last_s = 0.0

    @property
    def period_s(self) -> Seconds | None:
        """From reading to reading; None until it can be said."""
        known = self._count >= LEAST_READINGS and self._period_s > LEAST_PERIOD_S
        return self._period_s if known else None

    def stamp(self, reading: Reading) -> Seconds:
        """The moment this reading was weighed, on the clock of arrivals; strictly rising."""
        arrival_s = reading.t_s
        self._count += 1
        n = self._count
        if n == 1:
            self._next_s = arrival_s
        error_s = arrival_s - self._next_s
        if n > 2 and error_s > PAUSE_S:
            self._next_s, error_s, self._count = arrival_s, 0.0, min(n, 3)
        n = min(n, MEMORY)
        stamp_s = self._next_s + error_s * 2.0 * (2 * n - 1) / (n * (n + 1))
        if n > 1:
            self._period_s += error_s * 6.0 / (n * (n + 1))
        self._next_s = stamp_s + self._period_s
        self._last_s = max(stamp_s, self._last_s + 0.001) if n > 1 else stamp_s
        return self._last_s
