"""The time of arrival as a straight line over the count of readings."""

from pourcoach.domain.units import Seconds

# Readings remembered by the fit of the period: longer averages more jitter away, shorter follows
# a drifting crystal. Half a minute keeps 50 parts in 10**6 within 1 ms.
MEMORY_S = 30.0
# Readings before the period is estimated; no scale weighs faster than this.
LEAST_READINGS = 8
LEAST_PERIOD_S = 0.001
# Readings over which the device's own period is averaged.
DEVICE_MEMORY = 64


class ArrivalLine:
    """A least-squares line whose memory grows to ``MEMORY_S``.

    The gains are those of the expanding-memory polynomial filter of first degree (Morrison 1969,
    "Introduction to Sequential Smoothing and Prediction"; from memory).
    """

    __slots__ = ("_first_s", "count", "counted_s", "fitted_s", "period_s")

    def __init__(self) -> None:
        self._first_s: Seconds = 0.0
        self.count = 0
        self.period_s: Seconds = 0.0
        self.fitted_s: Seconds = 0.0
        """The time of arrival that the line gives for the newest reading."""
        self.counted_s: Seconds = 0.0
        """The sum of all periods until the newest reading: as smooth as the period, and off from
        arrivals by a delay that hardly moves."""

    @property
    def lasted_s(self) -> Seconds:
        """How long ago the first reading was, by the count."""
        return self.counted_s - self._first_s

    def anew(self, arrival_s: Seconds, period_s: Seconds) -> "ArrivalLine":
        """Return a line of this period that passes through the reading before this arrival."""
        line = ArrivalLine()
        line._first_s, line.count, line.period_s = self._first_s, self.count, period_s
        line.fitted_s = line.counted_s = arrival_s - period_s
        return line

    def advance(self, arrival_s: Seconds, counted: int) -> None:
        """Move on by ``counted`` readings to the next arrival."""
        self.count += 1
        if self.count > 2:
            step_s = counted * self.period_s
            self.counted_s += step_s
            self.fitted_s += step_s
        elif self.count == 2:
            self.period_s = (arrival_s - self._first_s) / counted
            self.counted_s = self.fitted_s = arrival_s
        else:
            self._first_s = self.counted_s = self.fitted_s = arrival_s

    def take(self, arrival_s: Seconds) -> None:
        """Draw the line towards the arrival of the newest reading."""
        n = self.count
        if n <= 2:
            return
        if n > LEAST_READINGS and n * self.period_s > MEMORY_S:
            n = max(int(MEMORY_S / self.period_s), LEAST_READINGS)
        share_s = (arrival_s - self.fitted_s) / (n * (n + 1))
        self.fitted_s += share_s * (4 * n - 2)
        self.period_s += share_s * 6.0

    def skip(self, by_s: Seconds) -> Seconds:
        """Move on or back by the whole number of periods nearest to ``by_s``; return how far, in
        seconds."""
        period_s = max(self.period_s, LEAST_PERIOD_S)
        whole_s = round(by_s / period_s) * period_s
        self.counted_s += whole_s
        self.fitted_s += whole_s
        return whole_s

    def step(self, device_s: Seconds, counted: int) -> None:
        """Move on by ``counted`` readings whose device times lie ``device_s`` apart; only the mean
        period is kept."""
        self.count += 1
        period_s = device_s / counted
        memory = self.count if self.count < DEVICE_MEMORY else DEVICE_MEMORY
        self.period_s += (period_s - self.period_s) / memory
