"""The estimating half of the fold: one Estimate for each input."""

import math

from pourcoach.domain.estimate import Disturbance, Estimate, ScaleTraits, ScaleTrouble
from pourcoach.domain.fall import USUAL_FALL, Fall
from pourcoach.domain.inputs import Input, Reading, Tare
from pourcoach.domain.slices import Slices, result_of
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.hindsight import Hindsight, hands_among, tares_among
from pourcoach.estimation.noise.traits import LearntTraits, TraitsLearner
from pourcoach.estimation.platform.platform import KNOCK_G, KNOCK_GPS, Platform
from pourcoach.estimation.platform.repeats import RepeatWatch, Weighed
from pourcoach.estimation.platform.undo import UndoHistory
from pourcoach.estimation.platform.zero import Zero
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.stamps.sample_clock import SampleClock
from pourcoach.estimation.tracker import FIRST_VAR, Tracker

# Traits are estimated anew after this many readings.
TRAITS_EVERY = 16
# With fewer readings a second a pour is over before it can be distinguished from a touch (a
# confirmed start takes three or four).
SLOWEST_HZ = 2.0
SLOWEST_SHARE = 0.05
SLOWEST_PERIOD_S = (1.0 + SLOWEST_SHARE) / SLOWEST_HZ
# How far the weight is carried on past the last reading.
CARRY_S = 0.5
# Rounds halves up, with room for arithmetic: 12.5 ms must not fall now here, now there.
ROUND_UP = 0.500001
_NOT_YET = ScaleTraits()


class Estimator:
    """Turns inputs into Estimates. Equal inputs give equal Estimates, to the last bit."""

    def __init__(
        self,
        scale_delay_s: Seconds = 0.0,
        fall: Fall = USUAL_FALL,
        hindsight: Hindsight | None = None,
    ) -> None:
        """``scale_delay_s`` is a known constant delay of the scale, subtracted from every stamp;
        ``fall`` describes how the water falls, for refining pours; ``hindsight`` is what a record
        has shown that is gone through again."""
        self._record = Record(fall)
        self._delay_s = scale_delay_s
        self._clock = SampleClock()
        self._zero = Zero()
        self._undo = UndoHistory()
        self._hindsight = hindsight
        self._traits = TraitsLearner() if hindsight is None else hindsight.traits
        self._platform: Platform | None = None
        self._repeats = RepeatWatch(self._traits)
        self._tracker: Tracker | None = None
        self._origin_s = 0.0
        self._ticks = 0
        """Milliseconds from the first reading to the newest, held back or not."""
        self._readings = 0
        self._reported_traits = _NOT_YET

    def feed(self, item: Input) -> Estimate:
        """Take the next input and return its Estimate.

        At most one settled value comes with each reading, and at most about 20 a second. A reading
        whose weight is no number, or that came twice or too late, only moves time on.
        """
        if isinstance(item, Reading) and math.isfinite(item.grams):
            return self._read(item)
        tracker, taken_back = self._tracker, self._undo.feed(item)
        if tracker is not None:
            if isinstance(item, Tare):
                self._zero.tare(item, tracker.level_g)
            elif isinstance(taken_back, Tare):
                self._zero.undo(taken_back)
        estimate = self._passing(item.t_s - self._delay_s)
        return estimate if taken_back is None else estimate._replace(taken_back=taken_back)

    def close(self, t_s: Seconds) -> Estimate:
        """End the input: end an open pour, refine all pours, and return the last Estimate."""
        return result_of(self.closing(t_s))

    def closing(self, t_s: Seconds) -> Slices[Estimate]:
        """Do the work of ``close`` in slices of some milliseconds."""
        if self._tracker is not None:
            yield from self._tracker.finish(self._clock.period_s)
        return self._passing(t_s - self._delay_s)

    def hindsight(self, last: Estimate) -> Hindsight | None:
        """Return what the record has shown, with its last Estimate; None where there is nothing to
        be gained by going through it again: nothing was ever in doubt."""
        platform = self._platform
        if platform is None:
            return None
        tares_s = tares_among(last.events, platform.commanded_s, last.pours)
        hands_s = hands_among(platform.left_nothing.found, last.events, last.pours)
        if not (platform.unsure or tares_s or hands_s):
            return None
        spikes_per_s = platform.spikes.per_s(last.t_s)
        return Hindsight(LearntTraits(self._traits), spikes_per_s, tares_s, hands_s)

    def _read(self, reading: Reading) -> Estimate:
        clock, delay_s = self._clock, self._delay_s
        stamp_s = clock.stamp(reading)
        if stamp_s is None:
            return self._passing(reading.t_s - delay_s)
        t_s, grams, trusted = stamp_s - delay_s, reading.grams, clock.device_trusted
        if reading.sequence is None and (reading.device_s is None or not trusted):
            self._record.arrived(t_s, reading.t_s - delay_s)
        tracker = self._tracker
        if tracker is None or (self._readings == 0 and self._alone(tracker, t_s, grams)):
            return self._begin(t_s, grams)
        ticks = int((t_s - self._origin_s) * TICKS_PER_S + ROUND_UP)
        if ticks <= self._ticks:
            return self._passing(reading.t_s - delay_s)
        if self._hindsight is not None and self._hindsight.left_nothing(t_s, t_s):
            return self._passing(t_s)._replace(disturbance=Disturbance.LEAN)
        self._ticks = ticks
        self._traits.see(grams)
        self._readings = readings = self._readings + 1
        period_s, trouble = clock.period_s, None if trusted else ScaleTrouble.CLOCK
        if period_s is not None and period_s > SLOWEST_PERIOD_S:
            trouble = ScaleTrouble.TOO_SLOW
        traits = self._reported_traits
        if readings % TRAITS_EVERY == 0 or traits.trouble is not trouble:
            traits = self._reported_traits = self._traits.traits(period_s, trouble)
        # With each reading, at a third of the time of its constructor.
        weighed = tuple.__new__(Weighed, (t_s, ticks, grams))
        if self._repeats.is_new(grams):
            tracker.take(weighed, period_s)
        else:
            passed_s = (ticks - tracker.ticks) / TICKS_PER_S
            for one in self._repeats.sift(weighed, tracker.flow_gps, passed_s):
                tracker.take(one, period_s)
        return tracker.weighed(t_s, traits)

    def _begin(self, t_s: Seconds, grams: Grams) -> Estimate:
        """Take a reading as the first one."""
        self._origin_s = t_s
        self._record.rewind(-math.inf)
        first = Weighed(t_s, 0, grams)
        self._platform = Platform(t_s, grams, self._zero, self._hindsight)
        self._tracker = Tracker(first, self._platform, self._traits, self._record)
        return self._tracker.weighed(t_s, _NOT_YET)

    def _alone(self, tracker: Tracker, t_s: Seconds, grams: Grams) -> bool:
        """Whether the first reading may have been a spike, for the second lies far off it."""
        untouched = not self._zero.tares_g and not self._zero.booked_g
        far_g = KNOCK_G + KNOCK_GPS * (t_s - self._origin_s)
        return untouched and abs(grams - tracker.level_g) > far_g

    def _passing(self, t_s: Seconds) -> Estimate:
        """Return the Estimate at a time when nothing was weighed."""
        tracker = self._tracker
        if tracker is not None:
            # The weight is carried on for a while.
            seen = tracker.weighed(t_s, self._reported_traits)
            passed_s = t_s - self._origin_s - tracker.ticks / TICKS_PER_S
            carried_s = min(max(passed_s, 0.0), CARRY_S)
            carried_g = seen.flow_gps * carried_s
            error_g = max(seen.flow_error_gps * carried_s, carried_g * carried_s)
            return seen._replace(
                mass_g=seen.mass_g + carried_g,
                mass_error_g=math.hypot(seen.mass_error_g, error_g),
                settled=None,
            )
        return Estimate(
            t_s=t_s,
            mass_g=0.0,
            mass_error_g=math.sqrt(FIRST_VAR),
            flow_gps=0.0,
            flow_error_gps=0.0,
            pouring=False,
            pour_probability=0.0,
            settled=None,
            disturbance=None,
            pours=(),
            traits=_NOT_YET,
        )
