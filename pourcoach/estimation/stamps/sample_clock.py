"""When each reading was weighed, estimated from when it arrived."""

import math

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Seconds
from pourcoach.estimation.stamps.arrival_line import LEAST_PERIOD_S, LEAST_READINGS, ArrivalLine
from pourcoach.estimation.stamps.delay_floor import DelayFloor
from pourcoach.estimation.stamps.device_clock import RESTART_S, DeviceClockWatch
from pourcoach.estimation.stamps.miscount import MiscountWatch
from pourcoach.estimation.stamps.rate_regularity import RateRegularity

# No reading is weighed after it has arrived: where the stamps of the first few run ahead of their
# arrivals by more than this share of a period, some were lost and the period is too long yet.
AHEAD_SHARE = 0.5
FIRST_READINGS = 32
# Readings that arrive together, of which at least the last was not held up, are stamped this far
# apart, until they are so far ahead; more is left over from a count that was wrong.
RIGHT_AFTER_S = 0.001
AHEAD_S = 0.01
# A count of readings, as a scale sends it, wraps at this or a multiple of it.
WRAP = 2**16


class SampleClock:
    """Stamps readings on the clock of arrivals.

    With device time, a reading's stamp is that plus the least offset to arrivals. Without it, or
    with one that steps back or stands still, a scale is taken to weigh at a steady rate, and a
    straight line is fitted to arrival over count; where arrivals show that it does not, each is the
    best that is known of its own moment.
    The count comes from sequence numbers, or else every reading counts as one, until arrivals show
    by a whole period that one was lost or came twice. A constant delay cannot be seen either way.
    """

    __slots__ = (
        "_beat",
        "_device",
        "_device_s",
        "_floor",
        "_last_s",
        "_line",
        "_miscounts",
        "_sequence",
        "device_trusted",
        "period_s",
    )

    def __init__(self) -> None:
        self._beat = RateRegularity()
        self._device = DeviceClockWatch()
        self._line = ArrivalLine()
        self._floor = DelayFloor()
        self._miscounts = MiscountWatch(self._line, self._floor)
        self._last_s = -math.inf
        self._device_s: Seconds | None = None
        self._sequence: int | None = None
        self.device_trusted = True
        """False once the scale's own clock has stepped back or stood still too often."""
        self.period_s: Seconds | None = None
        """The time from one reading to the next; None until it is known."""

    def stamp(self, reading: Reading) -> Seconds | None:
        """Return when this reading was weighed, in seconds on the clock of arrivals.

        None for a reading that came twice or too late, or when it is as likely as not that another
        was lost before it. Stamps rise strictly.
        """
        counted = None if reading.sequence is None else self._counted(reading.sequence)
        if counted == 0:
            return None
        stamp_s: Seconds | None
        if reading.device_s is None or not self._device_runs(reading.t_s, reading.device_s):
            stamp_s = self._by_count(reading.t_s, counted)
        else:
            stamp_s = self._by_device(reading.t_s, reading.device_s, counted)
        line = self._line
        known = line.count >= LEAST_READINGS and line.period_s > LEAST_PERIOD_S
        self.period_s = line.period_s if known else None
        if stamp_s is None or stamp_s <= self._last_s:
            return None
        self._last_s = stamp_s
        return stamp_s

    def _device_runs(self, arrival_s: Seconds, device_s: Seconds) -> bool:
        if not self.device_trusted or self._device.see(arrival_s, device_s):
            return self.device_trusted
        # From here on by arrivals, on a line of their own.
        self.device_trusted = False
        self._line, self._floor = ArrivalLine(), DelayFloor()
        self._miscounts = MiscountWatch(self._line, self._floor)
        return False

    def _counted(self, sequence: int) -> int | None:
        """Readings since the last by the scale's count; 0 for one that came twice, None if
        untold."""
        before, self._sequence = self._sequence, sequence
        if before is None:
            return None
        counted = (sequence - before) % WRAP
        return counted if counted <= WRAP // 2 else None  # The scale counts anew.

    def _counts_anew(self, counted: int, passed_s: Seconds) -> bool:
        """Whether so many readings do not take the time that has passed since the last."""
        period_s = self.period_s
        return period_s is not None and abs(counted * period_s - passed_s) > RESTART_S

    def _by_device(self, arrival_s: Seconds, device_s: Seconds, counted: int | None) -> Seconds:
        before_s, self._device_s = self._device_s, device_s
        floor = self._floor
        offset_s = arrival_s - device_s
        if (
            before_s is None
            or device_s < before_s - RESTART_S
            or offset_s < floor.floor_s - RESTART_S
        ):
            self._floor = floor = DelayFloor()
        elif device_s > before_s:
            passed_s = device_s - before_s
            if counted is None or (counted > 1 and self._counts_anew(counted, passed_s)):
                counted = 1
            self._line.step(passed_s, counted)
        least_s = floor.see(arrival_s, offset_s)
        if least_s is not None and least_s > floor.floor_s + RESTART_S:
            # Not held up once, on the way or by a machine that was busy: the device slept, and its
            # clock with it.
            self._floor = floor = DelayFloor()
            floor.see(arrival_s, offset_s)
        elif least_s is not None:
            floor.settle(least_s)
        return device_s + floor.floor_s

    def _by_count(self, arrival_s: Seconds, counted: int | None) -> Seconds | None:
        beat = self._beat
        judged = beat.see(arrival_s)
        if counted is not None and self._counts_anew(counted, arrival_s - self._line.fitted_s):
            counted = None
        if judged and counted is None:
            self._mend_period(arrival_s)
        if counted is None and beat.lossy_s is not None:
            counted = self._whole_periods(arrival_s)
        line, floor = self._line, self._floor
        line.advance(arrival_s, 1 if counted is None else counted)
        above_s = arrival_s - line.counted_s - floor.floor_s
        in_doubt = False
        if counted is None:
            in_doubt = self._miscounts.see(arrival_s, above_s)
        else:
            self._miscounts.pass_over(arrival_s)
            if above_s > RESTART_S:
                line.skip(above_s)
        if counted is not None or not self._miscounts.held:
            line.take(arrival_s)
            least_s = floor.see(arrival_s, arrival_s - line.counted_s)
            if least_s is not None and (
                counted is not None or not self._miscounts.mend(arrival_s, least_s)
            ):
                floor.settle(least_s)
        if not beat.steady:
            return arrival_s
        if counted == 0:
            return self._as_it_came(arrival_s)
        miscounts = floor.miscounts or beat.uncountable
        if miscounts and counted is None and not self._miscounts.waits:
            return self._as_it_came(arrival_s)
        if in_doubt:
            return None
        stamp_s = line.counted_s + floor.floor_s
        if line.count <= FIRST_READINGS and stamp_s - arrival_s > AHEAD_SHARE * line.period_s:
            return arrival_s
        return stamp_s

    def _mend_period(self, arrival_s: Seconds) -> None:
        """Begin the line anew if what was lost has been counted into its period."""
        period_s = self._line.period_s
        better_s = self._beat.better_s(period_s)
        if better_s != period_s:
            self._line = self._line.anew(arrival_s, better_s)
            self._floor = DelayFloor()
            self._miscounts = MiscountWatch(self._line, self._floor)

    def _as_it_came(self, arrival_s: Seconds) -> Seconds:
        """The arrival itself, or right after the reading before it where both came at once."""
        together = arrival_s <= self._last_s < arrival_s + AHEAD_S
        return self._last_s + RIGHT_AFTER_S if together else arrival_s

    def _whole_periods(self, arrival_s: Seconds) -> int:
        """How many lie between the last reading and this, as near as arrivals show; 0 if the last
        was taken for one period too many, since none is weighed after it has arrived."""
        line, floor = self._line, self._floor
        usual_s = 0.0 if math.isinf(floor.mean_excess_s) else floor.mean_excess_s
        since_s = arrival_s - line.counted_s - floor.floor_s
        if since_s < AHEAD_SHARE * line.period_s:
            return 0
        return max(round((since_s - usual_s) / line.period_s), 1)
