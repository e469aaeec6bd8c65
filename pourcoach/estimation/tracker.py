"""Follows the weight once its moments are settled: the filters, the platform and the pours."""

import math
from collections import deque
from collections.abc import Iterator
from typing import NamedTuple

from pourcoach.domain.estimate import (
    Disturbance,
    Estimate,
    EventKind,
    PlatformEvent,
    ScaleTraits,
    Settled,
)
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.filter.filter_state import FilterState, state_at
from pourcoach.estimation.filter.lag_filter import LagFilter
from pourcoach.estimation.filter.two_modes import NO_TOUCH, UNSEEN_POUR, TwoModeFilter
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.platform.fall import FallWatch
from pourcoach.estimation.platform.hypothesis import Turn, TurnKind, carried_over
from pourcoach.estimation.platform.platform import Platform
from pourcoach.estimation.platform.repeats import Weighed
from pourcoach.estimation.platform.zero import Zero
from pourcoach.estimation.pours.log_state import LogState
from pourcoach.estimation.pours.pour_log import PourLog
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.seen import Seen
from pourcoach.estimation.pours.vapour import VapourLearner

# A settled value at most this often: 20 a second are enough for a trace.
SETTLED_EVERY_TICKS = 45
# The level of the first reading is known no better than this, g².
FIRST_VAR = 0.25
# A reading depends on the scale alone when it is this surely none of a pour, and no touch.
REST_PROBABILITY = 0.01
SURE_GOOD = 0.9
# How far the weight is carried on past the last reading.
CARRY_S = 0.5
# The filters are tuned for lively hands; of most, flow is known better by this share (fitted to
# simulated hands of two kinds, so that 95 % intervals hold 93 to 97 % of the time).
ERROR_SHARE = 0.92
# Nothing has been seen after a gap this long, or of so many periods of a slower scale.
GAP_TICKS = 600
GAP_PERIODS = 3.0
# How far one goes back where readings that were believed turn out to have been a touch.
LOOK_BACK_TICKS = 500
# And how soon one does so again.
LOOK_AGAIN_TICKS = 1000
# Water that runs on through less is seen well enough.
HIDDEN_S = 0.3
# What comes back to a level so far below is lower by a hand.
LEAST_FALL_G = 3.5
# A weight that was falling has come down when it has fallen by no more than this for so long.
STILL_FALLING_G = 0.2
COME_DOWN_S = 0.6
# Water runs backwards.
BACKWARDS_GPS = -1.0


class Checkpoint(NamedTuple):
    """All that is put back when one goes back."""

    t_s: Seconds
    state: FilterState
    log: LogState


class Tracker:
    """Readings with their moments in; the unbroken weight, flow, events and pours out."""

    __slots__ = (
        "_checkpoints",
        "_fall",
        "_falling",
        "_lagged",
        "_late",
        "_log",
        "_looked_ticks",
        "_modes",
        "_origin_s",
        "_platform",
        "_record",
        "_rested_ticks",
        "_settled_ticks",
        "_ticks",
        "_traits",
        "_vapour",
    )

    def __init__(self, first: Weighed, zero: Zero, traits: TraitsLearner, seen: Seen) -> None:
        self._traits = traits
        self._modes = TwoModeFilter(first.ticks, first.grams, FIRST_VAR)
        self._lagged = LagFilter(first.ticks, first.grams)
        self._fall = FallWatch(first.t_s, first.grams)
        self._falling: tuple[Seconds, Grams] | None = None
        self._record = Record()
        self._record.append(first.t_s, first.grams)
        self._log = PourLog(self._record, traits, seen)
        self._platform = Platform(first.grams, zero)
        self._vapour = VapourLearner()
        self._late: deque[Weighed] = deque()
        self._checkpoints: deque[Checkpoint] = deque(maxlen=2)
        self._origin_s = first.t_s - first.ticks / TICKS_PER_S
        self._ticks = self._settled_ticks = self._rested_ticks = first.ticks
        self._looked_ticks = -LOOK_AGAIN_TICKS
        self._check(first.t_s)

    @property
    def ticks(self) -> int:
        """Of the newest reading."""
        return self._ticks

    @property
    def level_g(self) -> Grams:
        """The unbroken weight now."""
        best = self._platform.best
        return self._modes.mass()[0] if best is None else best.expected(self._ticks)[0]

    @property
    def flow_gps(self) -> GramsPerSecond:
        """The flow now; 0 while nobody can see it."""
        return self._modes.flow()[0] if self._platform.best is None else 0.0

    def take(self, weighed: Weighed, period_s: Seconds | None) -> None:
        """The next reading, as the scale gave it."""
        ticks = weighed.ticks
        passed = ticks - self._ticks
        self._ticks = ticks
        self._late.append(weighed)
        if self._platform.best is not None:
            self._platform.weigh(weighed, self._traits.noise_var)
            if self._platform.settled:
                self._settle(period_s)
            return
        gap_ticks = GAP_TICKS
        if period_s is not None and period_s * GAP_PERIODS * TICKS_PER_S > gap_ticks:
            gap_ticks = int(period_s * GAP_PERIODS * TICKS_PER_S)
        if passed > gap_ticks:
            self._open(self._modes.snapshot(), [weighed], period_s, unseen=True)
            return
        modes, traits = self._modes, self._traits
        unbroken_g = weighed.grams + self._platform.zero.shift_g
        before = modes.snapshot()
        modes.update(ticks, unbroken_g, traits.noise_var)
        if modes.good < 0.5:
            modes.restore(before)
            self._open(before, [weighed], period_s)
            return
        self._follow(weighed, unbroken_g, period_s, before)
        mass_g = modes.mass()[0]
        fallen = self._fall.see(weighed.t_s, mass_g, math.sqrt(traits.noise_var))
        if fallen:
            self._falling = weighed.t_s, mass_g
            self._fall.restart(weighed.t_s, mass_g)
        elif self._falling is not None:
            self._come_down(weighed.t_s, mass_g)
        if fallen or modes.runs_backwards(BACKWARDS_GPS):
            self._look_again(period_s)
        elif ticks - self._checkpoints[-1].state.ticks >= LOOK_BACK_TICKS:
            self._check(weighed.t_s)

    def finish(self, period_s: Seconds | None) -> Iterator[None]:
        """Nothing more comes: settle, end and refine what can be; some milliseconds' work between
        one yield and the next."""
        if self._platform.best is not None:
            self._settle(period_s)
        self._log.end(self._record.last_s, self._modes.mass()[0])
        self._log.refine(self._record.last_s)
        yield from self._log.refine_all()
        self._vapour.with_losses(self._log.pours)
        self._vapour.close()

    # Estimates ----------------------------------------------------------------------------------

    def weighed(self, t_s: Seconds, traits: ScaleTraits) -> Estimate:
        """What is reported with the reading just taken."""
        modes, log, platform = self._modes, self._log, self._platform
        log.refine_on()
        best = platform.best
        mass_g, mass_var = modes.mass()
        flow_gps, flow_var = modes.flow()
        disturbance = platform.events.disturbance(t_s)
        booked_g = platform.zero.booked_g
        if best is not None:
            mass_g, flow_gps = best.expected(self._ticks)
            booked_g = platform.zero.booked_under(best.shift_g, best.tares_g)
            if platform.touched:
                disturbance = Disturbance.KNOCK
        due = self._ticks - self._settled_ticks >= SETTLED_EVERY_TICKS
        return Estimate(
            t_s,
            mass_g - booked_g,
            math.sqrt(mass_var),
            flow_gps if flow_gps > 0.0 else 0.0,
            ERROR_SHARE * math.sqrt(flow_var),
            log.pouring,
            modes.pour_probability,
            self._settled() if due and best is None else None,
            disturbance,
            self._vapour.with_losses(log.pours),
            traits,
            platform.events.events,
            booked_g,
        )

    def carried(self, t_s: Seconds, traits: ScaleTraits) -> Estimate:
        """What is reported with no new reading: the weight is carried on for a while."""
        seen = self.weighed(t_s, traits)
        passed_s = min(max(t_s - self._origin_s - self._ticks / TICKS_PER_S, 0.0), CARRY_S)
        carried_g = seen.flow_gps * passed_s
        carried_error_g = max(seen.flow_error_gps * passed_s, carried_g * passed_s)
        return seen._replace(
            mass_g=seen.mass_g + carried_g,
            mass_error_g=math.hypot(seen.mass_error_g, carried_error_g),
            settled=None,
        )

    def _settled(self) -> Settled | None:
        """The flow a moment ago; None if it cannot be determined yet."""
        ticks = self._lagged.about_ticks
        if ticks is None:
            return None
        self._settled_ticks = self._ticks
        t_s = self._origin_s + ticks / TICKS_PER_S
        booked_g = self._platform.zero.booked_g
        if not self._log.holds(t_s):
            error_gps = ERROR_SHARE * math.sqrt(self._modes.flow()[1])
            return Settled(t_s, self._modes.level_g - booked_g, 0.0, error_gps)
        weight_g, flow_gps, error_gps = self._lagged.settled()
        return Settled(
            t_s,
            weight_g - booked_g,
            flow_gps if flow_gps > 0.0 else 0.0,
            ERROR_SHARE * error_gps,
        )

    # Readings that show the weight ---------------------------------------------------------------

    def _follow(
        self, weighed: Weighed, unbroken_g: Grams, period_s: Seconds | None, before: FilterState
    ) -> None:
        """A reading that the filter has just taken in."""
        t_s, ticks, _ = weighed
        modes, traits = self._modes, self._traits
        good = modes.good
        if period_s is not None:
            self._lagged.update(ticks, unbroken_g, good, period_s, traits.noise_var)
        self._record.append(t_s, unbroken_g)
        probability = modes.pour_probability
        self._log.feed(t_s, probability, modes.pour_flow_gps, modes.mass()[0])
        if probability < REST_PROBABILITY and good > SURE_GOOD and ticks > self._rested_ticks:
            self._rested_ticks = ticks
            traits.rest(unbroken_g - before.level_g, before.level_var)
            self._vapour.rested(t_s, unbroken_g)
            self._log.rested(t_s, modes.level_g)
            self._platform.rested(t_s, modes.level_g)

    def _check(self, t_s: Seconds) -> None:
        """Remember where one stands, to go back there if need be."""
        self._checkpoints.append(Checkpoint(t_s, self._modes.snapshot(), self._log.snapshot()))
        oldest_ticks = self._checkpoints[0].state.ticks
        while self._late and self._late[0].ticks <= oldest_ticks:
            self._late.popleft()

    # Readings that may not -----------------------------------------------------------------------

    def _look_again(self, period_s: Seconds | None) -> None:
        """The weight has fallen: what was taken for water of late may have been a touch."""
        if self._ticks - self._looked_ticks < LOOK_AGAIN_TICKS:
            return
        self._looked_ticks = self._ticks
        checkpoint = self._checkpoints[0]
        readings = [one for one in self._late if one.ticks > checkpoint.state.ticks]
        self._modes.restore(checkpoint.state)
        self._log.restore(checkpoint.log)
        self._record.rewind(checkpoint.t_s)
        self._restart_lagged()
        self._platform.events.rewind(checkpoint.t_s)
        self._open(checkpoint.state, readings, period_s)

    def _come_down(self, t_s: Seconds, mass_g: Grams) -> None:
        """The weight was falling: once it rests, what lay above was no water."""
        assert self._falling is not None
        since_s, lowest_g = self._falling
        if mass_g < lowest_g - STILL_FALLING_G:
            self._falling = t_s, mass_g
        elif t_s - since_s > COME_DOWN_S and not self._log.pouring:
            self._falling = None
            self._log.retract(t_s, mass_g)
            lean = PlatformEvent(EventKind.LEAN, since_s, t_s)
            self._platform.events.add(lean)

    def _open(
        self,
        state: FilterState,
        readings: list[Weighed],
        period_s: Seconds | None,
        *,
        unseen: bool = False,
    ) -> None:
        """Weigh what these readings may be, and those that follow, until it is clear."""
        self._platform.open(readings[0].t_s, state, unseen=unseen)
        for weighed in readings:
            self._platform.weigh(weighed, self._traits.noise_var)
        if self._platform.settled:
            self._settle(period_s)

    def _settle(self, period_s: Seconds | None) -> None:
        """Follow the most likely path through the readings held."""
        modes, log, noise_var = self._modes, self._log, self._traits.noise_var
        for weighed, turn, off, since_ticks in self._platform.settle(math.sqrt(noise_var)):
            t_s, ticks, grams = weighed
            if off:
                log.touched(t_s)
                continue
            unbroken_g = grams + self._platform.zero.shift_g
            before, before_g = modes.snapshot(), modes.mass()[0]
            if turn is None or turn.kind is TurnKind.BACK:
                modes.update(ticks, unbroken_g, noise_var, NO_TOUCH)
            else:
                self._change_level(turn, noise_var, self._seconds(since_ticks), t_s)
            if turn is not None and ticks - since_ticks > GAP_TICKS:
                self._restart_lagged()
                if turn.kind is TurnKind.BACK and log.pouring:
                    log.hidden(self._seconds(since_ticks), t_s, before_g, modes.mass()[0])
            self._follow(weighed, unbroken_g, period_s, before)
        self._late.clear()
        self._checkpoints.clear()
        self._check(weighed.t_s)

    def _change_level(self, turn: Turn, noise_var: float, since_s: Seconds, t_s: Seconds) -> None:
        """The level is another than before."""
        modes, log = self._modes, self._log
        before, before_g = modes.snapshot(), modes.mass()[0]
        if turn.kind in (TurnKind.WATER, TurnKind.FALL):
            water = turn.kind is TurnKind.WATER
            probability = max(0.3, 0.5 * before.pour_probability) if water else UNSEEN_POUR
            modes.restore(
                state_at(turn.ticks, turn.level_g, noise_var, probability, before.drum_s2)
            )
            self._restart_lagged()
            if not water:
                log.retract(t_s, turn.level_g)
                self._fall.restart(t_s, turn.level_g)
            elif t_s - since_s > HIDDEN_S:
                log.hidden(since_s, t_s, before_g, turn.level_g)
        else:
            modes.restore(carried_over(before, turn.ticks, turn.level_g, noise_var))
            if turn.kind is TurnKind.RETURN and turn.level_g < before_g - LEAST_FALL_G:
                log.retract(t_s, turn.level_g)
                self._fall.restart(t_s, turn.level_g)

    def _restart_lagged(self) -> None:
        modes = self._modes
        self._lagged.restart(modes.ticks, modes.mass()[0], max(modes.flow()[0], 0.0))

    def _seconds(self, ticks: int) -> Seconds:
        return self._origin_s + ticks / TICKS_PER_S
