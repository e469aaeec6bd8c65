"""Follows the weight once its moments and its zero are settled."""

import math

from pourcoach.domain.estimate import Disturbance, Estimate, ScaleTraits, Settled
from pourcoach.domain.fall import Fall
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.filter.lag_filter import LagFilter
from pourcoach.estimation.filter.two_modes import TwoModeFilter
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.platform.lean import LeanWatch
from pourcoach.estimation.platform.rebase import VESSEL_G, JumpWatch
from pourcoach.estimation.platform.repeats import Weighed
from pourcoach.estimation.platform.zero import Zero
from pourcoach.estimation.pours.pour_log import PourLog
from pourcoach.estimation.pours.record import Record

# A settled value at most this often: 20 a second are enough for a trace.
SETTLED_EVERY_TICKS = 45
# The level of the first reading is known no better than this, g².
FIRST_VAR = 0.25
# A reading tells of the scale alone when it is this surely none of a pour, and no touch.
REST_PROBABILITY = 0.01
SURE_GOOD = 0.9
# How far the weight is carried on past the last reading.
CARRY_S = 0.5
# The filters are tuned for lively hands; of most, flow is known better by this share (fitted to
# simulated hands of two kinds, so that 95 % intervals hold 93 to 97 % of the time).
ERROR_SHARE = 0.92
# A hand that leant on the platform while water ran lets go within this time of the pour's end:
# suddenly, or else slowly enough to be seen to (common practice).
LET_GO_S = 5.0
LEANT_S = 15.0
# After a gap this long the steady gains begin anew.
GAP_TICKS = 750


class Tracker:
    """One unbroken weight in, flow and pours out."""

    __slots__ = (
        "_jumps",
        "_lagged",
        "_lean",
        "_log",
        "_modes",
        "_origin_s",
        "_record",
        "_rest",
        "_settled_ticks",
        "_ticks",
        "_traits",
        "_zero",
    )

    def __init__(self, first: Weighed, zero: Zero, traits: TraitsLearner, fall: Fall) -> None:
        self._zero, self._traits = zero, traits
        self._modes = TwoModeFilter(first.ticks, first.grams, FIRST_VAR)
        self._lagged = LagFilter(first.ticks, first.grams)
        self._jumps = JumpWatch()
        self._lean = LeanWatch(first.t_s, first.grams)
        self._record = Record()
        self._record.append(first.t_s, first.grams)
        self._log = PourLog(self._record, zero, traits, fall)
        self._rest = first.t_s, first.grams
        self._origin_s = first.t_s - first.ticks / TICKS_PER_S
        self._ticks = first.ticks
        self._settled_ticks = first.ticks

    @property
    def ticks(self) -> int:
        """Of the newest reading."""
        return self._ticks

    def mass(self) -> tuple[Grams, float]:
        """The unbroken weight now, and its variance."""
        return self._modes.mass()

    def flow(self) -> tuple[GramsPerSecond, float]:
        """The flow now, and its variance."""
        return self._modes.flow()

    def take(self, weighed: Weighed, period_s: Seconds | None) -> Grams:
        """The next reading; gives the jump of the level, when one is told with it, else 0."""
        t_s, ticks, grams = weighed
        modes, traits = self._modes, self._traits
        noise_var = traits.noise_var
        expected_g = modes.mass()[0]
        level_g, level_var = modes.level_g, modes.level_variance
        modes.update(ticks, grams, noise_var)
        good = modes.good
        if ticks - self._ticks > GAP_TICKS:
            self._lagged.restart(ticks, modes.mass()[0], modes.flow()[0])
        elif period_s is not None:
            self._lagged.update(ticks, grams, good, period_s, noise_var)
        self._ticks = ticks
        jump_g = self._jumps.see(t_s, grams, expected_g, good, noise_var)
        if jump_g:
            self._rebase(weighed, expected_g, jump_g, noise_var)
        elif good < 0.5:
            self._log.touched(t_s)
            water = self._jumps.water(noise_var)
            if water is not None:
                self._log.ran(water.readings[0][0])
                modes.pour(water.level_g, noise_var, water.flow_gps)
                self._lagged.restart(ticks, water.level_g, water.flow_gps)
                for at_s, g in water.readings:
                    self._record.append(at_s, g)
        else:
            self._record.append(t_s, grams)
            probability = modes.pour_probability
            mass_g = modes.mass()[0]
            leant = self._lean.leaning
            if self._lean.see(t_s, mass_g):
                self._log.fell(t_s, mass_g)
            elif leant:
                self._log.came_back(t_s, mass_g, LEANT_S)
            self._log.feed(t_s, probability, modes.pour_flow_gps, mass_g)
            if probability < REST_PROBABILITY and good > SURE_GOOD:
                traits.rest(grams - level_g, level_var)
                if not self._lean.leaning and t_s >= self._jumps.until_s:
                    self._rest = t_s, modes.level_g
                    self._log.rested(t_s, modes.level_g)
        return jump_g

    def tared(self, change_g: Grams) -> None:
        """The zero moved by so much: an open pour counts from the new one."""
        self._log.tared(change_g)

    def finish(self) -> None:
        """Nothing more comes: end and refine what can be."""
        self._log.end(self._record.last_s, self._modes.mass()[0])
        self._log.refine(self._record.last_s)
        self._log.finish_refining()

    def weighed(self, t_s: Seconds, jump_g: Grams, traits: ScaleTraits) -> Estimate:
        """What is told with the reading just taken."""
        modes, log = self._modes, self._log
        log.refine_on()
        mass_g, mass_var = modes.mass()
        flow_gps, flow_var = modes.flow()
        jumped = self._jumps.disturbance(t_s)
        due = self._ticks - self._settled_ticks >= SETTLED_EVERY_TICKS
        return Estimate(
            t_s,
            mass_g - self._zero.offset_g,
            math.sqrt(mass_var),
            flow_gps if flow_gps > 0.0 else 0.0,
            ERROR_SHARE * math.sqrt(flow_var),
            log.pouring,
            modes.pour_probability,
            self._settled() if due else None,
            Disturbance.LEAN if jumped is None and self._lean.leaning else jumped,
            jump_g,
            log.pours,
            traits,
        )

    def carried(self, t_s: Seconds, traits: ScaleTraits) -> Estimate:
        """What is told with no new reading: the weight is carried on for a while."""
        seen = self.weighed(t_s, 0.0, traits)
        passed_s = min(max(t_s - self._origin_s - self._ticks / TICKS_PER_S, 0.0), CARRY_S)
        carried_g = seen.flow_gps * passed_s
        carried_error_g = max(seen.flow_error_gps * passed_s, carried_g * passed_s)
        return seen._replace(
            mass_g=seen.mass_g + carried_g,
            mass_error_g=math.hypot(seen.mass_error_g, carried_error_g),
            settled=None,
        )

    def _settled(self) -> Settled | None:
        """The flow a moment ago; None if it cannot be told yet."""
        ticks = self._lagged.about_ticks
        if ticks is None:
            return None
        self._settled_ticks = self._ticks
        t_s = self._origin_s + ticks / TICKS_PER_S
        offset_g = self._zero.offset_g
        if not self._log.holds(t_s):
            error_gps = ERROR_SHARE * math.sqrt(self._modes.flow()[1])
            return Settled(t_s, self._modes.level_g - offset_g, 0.0, error_gps)
        weight_g, flow_gps, error_gps = self._lagged.settled()
        return Settled(
            t_s,
            weight_g - offset_g,
            flow_gps if flow_gps > 0.0 else 0.0,
            ERROR_SHARE * error_gps,
        )

    def _rebase(self, weighed: Weighed, expected_g: Grams, jump_g: Grams, noise_var: float) -> None:
        """The level jumped and stayed: an open pour ends, and all begins anew from there."""
        self._log.end(self._record.last_s, expected_g)
        self._log.refine(self._record.last_s)
        level_g = expected_g + jump_g
        rested_s, rested_g = self._rest
        if abs(level_g - rested_g) < VESSEL_G:
            self._log.take_back(rested_s)
        elif jump_g < 0.0:
            self._log.came_back(weighed.t_s, level_g, LET_GO_S)
        self._log.rested(weighed.t_s, level_g)
        self._modes.rebase(weighed.ticks, level_g, noise_var)
        self._lagged.restart(weighed.ticks, level_g)
        self._lean.restart(weighed.t_s, level_g)
        self._record.clear()
        self._record.append(weighed.t_s, level_g)
