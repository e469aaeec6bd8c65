"""When each reading was weighed, told from when it arrived."""

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Seconds
from pourcoach.estimation.delay_floor import DelayFloor

# Readings remembered by the fit of the period: longer averages more jitter away, shorter follows
# a drifting crystal. Half a minute keeps 50 parts in 10**6 within 1 ms.
MEMORY_S = 30.0
# Readings before the period is told; no scale weighs faster than this.
LEAST_READINGS = 8
LEAST_PERIOD_S = 0.001
# Readings before a loss can be told from a line that has not settled.
LEAST_SURE = 30
# And that the line's own doubt, 2 spread / √count, is a third of a period.
SURE = 6.0
# A count of readings, as a scale sends it, wraps at this or a multiple of it.
WRAP = 2**16
# An arrival this late is a loss or a pause, whatever the jitter.
PAUSE_S = 1.0
# Where jitter is below this share of the period, one late arrival is enough to tell a loss.
QUIET_SHARE = 0.125
# And arrivals have been seen for so long that a burst is no period.
QUIET_FROM_S = 0.6
# A count is off by one from this share of a period on.
OFF_SHARE = 0.6
# And by so many times what the least delays wander by themselves.
WANDERS = 3.0
# A device clock that goes back, or off by this much, has been started anew.
RESTART_S = 2.0


class SampleClock:
    """Stamps readings on the clock of arrivals.

    With device time, a reading's stamp is that plus the least offset to arrivals. Without it a
    scale is taken to weigh at a steady rate, and a straight line is fitted to arrival over count.
    The count comes from sequence numbers, or else every reading counts as one, until arrivals show
    by a whole period that one was lost or came twice. A constant delay cannot be seen either way.
    """

    __slots__ = ("_device_s", "_floor", "_last_s", "_line", "_sequence")

    def __init__(self) -> None:
        self._line = _Line()
        self._floor = DelayFloor()
        self._last_s: Seconds | None = None
        self._device_s: Seconds | None = None
        self._sequence: int | None = None

    @property
    def period_s(self) -> Seconds | None:
        """From reading to reading; None until it can be said."""
        line = self._line
        known = line.count >= LEAST_READINGS and line.period_s > LEAST_PERIOD_S
        return line.period_s if known else None

    def stamp(self, reading: Reading) -> Seconds | None:
        """The moment this reading was weighed; None for one that came twice or too late.

        Stamps rise strictly.
        """
        counted = self._counted(reading)
        if counted == 0:
            return None
        if reading.device_s is not None:
            stamp_s = self._by_device(reading.t_s, reading.device_s, counted or 1)
        else:
            stamp_s = self._by_count(reading.t_s, counted)
        if self._last_s is not None and stamp_s <= self._last_s:
            return None
        self._last_s = stamp_s
        return stamp_s

    def _counted(self, reading: Reading) -> int | None:
        """Readings since the last by the scale's count; 0 for one out of turn, None if untold."""
        before, self._sequence = self._sequence, reading.sequence
        if before is None or reading.sequence is None:
            return None
        counted = (reading.sequence - before) % WRAP
        if counted == 0:
            return 0
        period_s = self.period_s
        if counted > WRAP // 2 or (
            period_s is not None
            and abs(counted * period_s - (reading.t_s - self._line.next_s)) > RESTART_S
        ):
            return None  # The scale counts anew.
        return counted

    def _by_device(self, arrival_s: Seconds, device_s: Seconds, counted: int) -> Seconds:
        before_s, self._device_s = self._device_s, device_s
        floor = self._floor
        offset_s = arrival_s - device_s
        if before_s is None or abs(offset_s - floor.floor_s) > RESTART_S:
            self._floor = floor = DelayFloor()
        elif device_s > before_s:
            self._line.step(device_s - before_s, counted)
        least_s = floor.see(arrival_s, offset_s)
        if least_s is not None:
            floor.settle(least_s)
        return device_s + floor.floor_s

    def _by_count(self, arrival_s: Seconds, counted: int | None) -> Seconds:
        line, floor = self._line, self._floor
        late_s = line.lateness(arrival_s, counted or 1)
        period_s = max(line.period_s, LEAST_PERIOD_S)
        if counted is None and line.count >= LEAST_READINGS:
            above_s = late_s - floor.floor_s
            quiet = floor.spread_s < QUIET_SHARE * period_s and line.lasted_s > QUIET_FROM_S
            if above_s > PAUSE_S or (quiet and abs(above_s) > OFF_SHARE * period_s):
                missed_s = line.skip(above_s)
                late_s -= missed_s
                floor.recounted(arrival_s, missed_s)
        elif late_s - floor.floor_s > RESTART_S:
            line.skip(late_s - floor.floor_s)
            late_s = floor.floor_s
        least_s = floor.see(arrival_s, late_s)
        if least_s is not None:
            off_s = least_s - floor.floor_s
            surely = line.count > max(LEAST_SURE, (SURE * floor.spread_s / period_s) ** 2)
            doubt_s = OFF_SHARE * period_s + WANDERS * floor.wander_s
            if counted is None and surely and abs(off_s) > doubt_s:
                missed_s = line.skip(off_s)
                late_s -= missed_s
                floor.recounted(arrival_s, missed_s)
            else:
                floor.settle(least_s)
        floor.moved(line.take(late_s))
        return line.next_s + floor.floor_s


class _Line:
    """Arrival over count: the least-squares line of growing memory, then of ``MEMORY_S``.

    Gains of the expanding-memory polynomial filter of first degree (Morrison 1969, "Introduction
    to Sequential Smoothing and Prediction"; from memory).
    """

    __slots__ = ("_first_s", "count", "next_s", "period_s")

    def __init__(self) -> None:
        self._first_s: Seconds = 0.0
        self.count = 0
        self.period_s: Seconds = 0.0
        self.next_s: Seconds = 0.0
        """The line at the reading last taken, until ``lateness`` moves it on."""

    def lateness(self, arrival_s: Seconds, counted: int) -> Seconds:
        """Move on by so many readings; how far this arrival lies above the line."""
        self.count += 1
        if self.count == 1:
            self.next_s = self._first_s = arrival_s
        elif self.count == 2:
            self.period_s = (arrival_s - self.next_s) / counted
            self.next_s = arrival_s
        else:
            self.next_s += counted * self.period_s
        return arrival_s - self.next_s

    @property
    def lasted_s(self) -> Seconds:
        """Since the first reading."""
        return self.next_s - self._first_s

    def take(self, late_s: Seconds) -> Seconds:
        """Draw the line towards the arrival; how far it was moved."""
        if self.count <= 2:
            return 0.0
        n = self.count
        if n > LEAST_READINGS and n * self.period_s > MEMORY_S:
            n = max(int(MEMORY_S / self.period_s), LEAST_READINGS)
        share_s = late_s / (n * (n + 1))
        moved_s = share_s * (4 * n - 2)
        self.next_s += moved_s
        self.period_s += share_s * 6.0
        return moved_s

    def skip(self, by_s: Seconds) -> Seconds:
        """Move on or back by the whole number of readings nearest to ``by_s``; how far."""
        period_s = max(self.period_s, LEAST_PERIOD_S)
        whole_s = round(by_s / period_s) * period_s
        self.next_s += whole_s
        return whole_s

    def step(self, device_s: Seconds, counted: int) -> None:
        """With device time: the mean period only."""
        self.count += 1
        period_s = device_s / counted
        self.period_s += (period_s - self.period_s) / min(self.count, 64)
