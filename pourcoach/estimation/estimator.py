"""Readings in, what they tell out: the fold over inputs that everything else rests on."""

import math

from pourcoach.domain.estimate import Estimate, ScaleTraits, Settled
from pourcoach.domain.inputs import Input, Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.lag_filter import LagFilter
from pourcoach.estimation.pour_log import PourLog
from pourcoach.estimation.rebase import JumpWatch
from pourcoach.estimation.record import Record
from pourcoach.estimation.sample_clock import SampleClock
from pourcoach.estimation.traits import TraitsLearner
from pourcoach.estimation.two_modes import TwoModeFilter
from pourcoach.estimation.wobble_model import TICKS_PER_S
from pourcoach.estimation.zero import Zero

# A settled value at most this often: 20 a second are enough for a trace.
SETTLED_EVERY_TICKS = 45
# How far the weight is carried on past the last reading.
CARRY_S = 0.5
# The level of the first reading is known no better than this, g².
FIRST_VAR = 0.25
# Below this probability of a pour a reading tells of the scale alone.
REST_PROBABILITY = 0.01
SURE_GOOD = 0.9
# Traits are told anew after this many readings.
TRAITS_EVERY = 16
# Rounds halves up, with room for arithmetic: 12.5 ms must not fall now here, now there.
ROUND_UP = 0.500001
_NOT_YET = ScaleTraits()


class Estimator:
    """One input in, one Estimate out; equal inputs give equal estimates, to the last bit."""

    def __init__(self, scale_delay_s: Seconds = 0.0) -> None:
        """``scale_delay_s``: known constant delay of the scale, taken off every stamp."""
        self._delay_s = scale_delay_s
        self._clock = SampleClock()
        self._zero = Zero()
        self._traits = TraitsLearner()
        self._jumps = JumpWatch()
        self._record = Record()
        self._log = PourLog(self._record, self._zero, self._traits)
        self._modes: TwoModeFilter | None = None
        self._lagged = LagFilter(0, 0.0)
        self._origin_s = 0.0
        self._ticks = 0
        self._settled_ticks = -(10**9)
        self._told_traits = _NOT_YET
        self._readings = 0

    def feed(self, item: Input) -> Estimate:
        """Take the next input.

        At most one settled value comes with each reading, at most about 20 a second.
        """
        if isinstance(item, Reading) and math.isfinite(item.grams):
            return self._read(item)
        if self._modes is not None:
            before_g = self._zero.offset_g
            self._zero.act(item, self._modes.mass()[0])
            self._log.tared(self._zero.offset_g - before_g)
        return self._passing(item.t_s - self._delay_s)

    def close(self, t_s: Seconds) -> Estimate:
        """The input has ended: end an open pour, refine all that can be."""
        if self._modes is not None:
            self._log.end(self._record.last_s, self._modes.mass()[0])
            self._log.refine(self._record.last_s)
        return self._passing(t_s - self._delay_s)

    def _read(self, reading: Reading) -> Estimate:
        t_s = self._clock.stamp(reading) - self._delay_s
        if self._modes is None:
            self._origin_s = t_s
        ticks = int((t_s - self._origin_s) * TICKS_PER_S + ROUND_UP)
        modes = self._modes
        if modes is None:
            modes = self._modes = TwoModeFilter(ticks, reading.grams, FIRST_VAR)
            self._lagged.restart(ticks, reading.grams)
            self._ticks = ticks - 1
            self._record.append(t_s, reading.grams)
        if ticks <= self._ticks:
            return self._passing(t_s)
        self._ticks = ticks
        expected_g = modes.mass()[0]
        grams = self._zero.unbroken(reading.t_s, reading.grams, expected_g)
        self._traits.see(reading.grams)
        noise_var = self._traits.noise_var
        level_g, level_var = modes.level_g, modes.level_variance
        modes.update(ticks, grams, noise_var)
        good = modes.good
        period_s = self._clock.period_s
        if period_s is not None:
            self._lagged.update(ticks, grams, good, period_s, noise_var)
        jump_g = self._jumps.see(t_s, grams, expected_g, good, noise_var)
        if jump_g:
            self._rebase(modes, t_s, ticks, expected_g, jump_g, noise_var)
        elif good >= 0.5:
            self._record.append(t_s, grams)
            probability = modes.pour_probability
            self._log.feed(t_s, probability, modes.pour_flow_gps, modes.mass()[0])
            if probability < REST_PROBABILITY and good > SURE_GOOD:
                self._traits.rest(grams - level_g, level_var)
        self._readings += 1
        if self._readings % TRAITS_EVERY == 0:
            self._told_traits = self._traits.traits(period_s)
        return self._estimate(modes, t_s, self._settle(modes), jump_g)

    def _rebase(
        self,
        modes: TwoModeFilter,
        t_s: Seconds,
        ticks: int,
        expected_g: Grams,
        jump_g: Grams,
        noise_var: float,
    ) -> None:
        """The level jumped and stayed: an open pour ends, and all begins anew from there."""
        self._log.end(self._record.last_s, expected_g)
        self._log.refine(self._record.last_s)
        self._lagged.restart(ticks, expected_g + jump_g)
        self._record.clear()
        modes.rebase(ticks, expected_g + jump_g, noise_var)
        self._record.append(t_s, expected_g + jump_g)

    def _settle(self, modes: TwoModeFilter) -> Settled | None:
        """The flow a moment ago, if a new value is due."""
        if self._ticks - self._settled_ticks < SETTLED_EVERY_TICKS:
            return None
        about = self._lagged.settled()
        if about is None:
            return None
        self._settled_ticks = self._ticks
        ticks, weight_g, flow_gps, error_gps = about
        t_s = self._origin_s + ticks / TICKS_PER_S
        if not self._log.holds(t_s):
            weight_g, flow_gps = modes.level_g, 0.0
            error_gps = math.sqrt(modes.flow()[1])
        return Settled(t_s, weight_g - self._zero.offset_g, max(flow_gps, 0.0), error_gps)

    def _estimate(
        self, modes: TwoModeFilter, t_s: Seconds, settled: Settled | None, jump_g: Grams
    ) -> Estimate:
        mass_g, mass_var = modes.mass()
        flow_gps, flow_var = modes.flow()
        return Estimate(
            t_s,
            mass_g - self._zero.offset_g,
            math.sqrt(mass_var),
            flow_gps if flow_gps > 0.0 else 0.0,
            math.sqrt(flow_var),
            self._log.pouring,
            modes.pour_probability,
            settled,
            self._jumps.disturbance(t_s),
            jump_g,
            self._log.pours,
            self._told_traits,
        )

    def _passing(self, t_s: Seconds) -> Estimate:
        """Time has passed with nothing weighed: the weight is carried on for a while."""
        modes = self._modes
        if modes is None:
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
                step_g=0.0,
                pours=(),
                traits=_NOT_YET,
            )
        seen = self._estimate(modes, t_s, None, 0.0)
        passed_s = min(max(t_s - self._origin_s - self._ticks / TICKS_PER_S, 0.0), CARRY_S)
        carried_g = seen.flow_gps * passed_s
        return Estimate(
            t_s=t_s,
            mass_g=seen.mass_g + carried_g,
            mass_error_g=math.hypot(
                seen.mass_error_g, max(seen.flow_error_gps * passed_s, carried_g * passed_s)
            ),
            flow_gps=seen.flow_gps,
            flow_error_gps=seen.flow_error_gps,
            pouring=seen.pouring,
            pour_probability=seen.pour_probability,
            settled=None,
            disturbance=seen.disturbance,
            step_g=0.0,
            pours=seen.pours,
            traits=seen.traits,
        )
