"""Follows the weight of stamped readings: the filters, the platform and the pours."""

import math
from collections.abc import Iterator

from pourcoach.domain.estimate import Disturbance, Estimate, ScaleTraits
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.filter.filter_state import FilterState, state_at, with_flow_free
from pourcoach.estimation.filter.settled_flow import ERROR_SHARE, NOTHING_NEW, SettledFlow
from pourcoach.estimation.filter.two_modes import UNSEEN_POUR, TwoModeFilter
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.look_back import Checkpoint, LookBack, Readings
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.platform.fall import COME_DOWN_S, FallWatch
from pourcoach.estimation.platform.hypothesis import COME_DOWN_G, Turn, TurnKind, carried_over
from pourcoach.estimation.platform.platform import Platform
from pourcoach.estimation.platform.repeats import Weighed
from pourcoach.estimation.pours.pour_log import PourLog
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.vapour import VapourLearner
from pourcoach.estimation.rest import QUIET_TICKS, Kept, Resting

# The level of the first reading is known no better than this, g².
FIRST_VAR = 0.25
# A reading depends on the scale alone when it is this surely none of a pour, and no touch.
REST_PROBABILITY = 0.01
SURE_GOOD = 0.9
# Nothing has been seen after a gap this long, or of so many periods of a slower scale.
GAP_TICKS = 600
GAP_PERIODS = 3.0
# Water that runs on through less is seen well enough.
HIDDEN_S = 0.3
# Water runs backwards.
BACKWARDS_GPS = -1.0


class Tracker:
    """Takes stamped readings; estimates the unbroken weight, flow, events and pours."""

    def __init__(
        self, first: Weighed, platform: Platform, traits: TraitsLearner, record: Record
    ) -> None:
        self._traits, self._platform = traits, platform
        self._modes = TwoModeFilter(first.ticks, first.grams, FIRST_VAR)
        self._fall = FallWatch(first.t_s, first.grams)
        self._record = record
        record.append(first.t_s, first.grams)
        self._log = PourLog(record, traits)
        self._vapour = VapourLearner()
        self._look_back = LookBack()
        self._origin_s = first.t_s - first.ticks / TICKS_PER_S
        self._settled = SettledFlow(first.ticks, first.grams, self._origin_s)
        self.ticks = self._rested_ticks = self._stirred_ticks = first.ticks
        """``ticks``: milliseconds from the first reading to the newest."""
        self._rest: Resting | None = None
        kept = (record, self._log, self._platform, self._vapour, traits)
        self._kept = Kept(*kept, self._look_back, self._fall, self._settled)
        self._look_back.check(self._checkpoint(first.t_s))

    @property
    def level_g(self) -> Grams:
        """The unbroken weight now."""
        best, rest = self._platform.best, self._rest
        if best is not None:
            return best.expected(self.ticks)[0]
        return self._modes.mass_g if rest is None else rest.level_g

    @property
    def flow_gps(self) -> GramsPerSecond:
        """The flow now; 0 during a rest and while a touch hides it."""
        seen = self._rest is None and self._platform.best is None
        return self._modes.flow_gps if seen else 0.0

    def take(self, weighed: Weighed, period_s: Seconds | None) -> None:
        """Take the next reading, with its weight as the scale sent it."""
        rest = self._rest
        if rest is None:
            self._look_back.take(weighed)
            self._weigh(weighed, period_s)
            return
        if rest.take(weighed):
            self.ticks = weighed.ticks
            return
        # One stands out: go through those since the older checkpoint again with all models.
        self._rest, self._rested_ticks = None, rest.learnt_ticks
        checkpoint, readings = self._look_back.older()
        self._modes.restore(checkpoint.state)
        self._record.rewind(checkpoint.t_s)
        self._settled.restart(self._modes)
        self.ticks, self._stirred_ticks = checkpoint.state.ticks, weighed.ticks
        self._look_back.restart(checkpoint)
        for one in (*readings, *rest.readings):
            self._look_back.take(one)
            self._weigh(one, period_s)

    def _weigh(self, weighed: Weighed, period_s: Seconds | None) -> None:
        """Take a reading outside a rest: water, a touch, or a change of the level."""
        ticks = weighed.ticks
        passed = ticks - self.ticks
        self.ticks = ticks
        if self._platform.best is not None:
            self._platform.weigh(weighed, self._traits.noise_var)
            if self._platform.settled:
                self._settle(period_s)
            return
        if passed > GAP_TICKS and passed > GAP_PERIODS * (period_s or 0.0) * TICKS_PER_S:
            self._open(self._modes.state, [weighed], period_s, unseen=True)
            return
        modes, traits = self._modes, self._traits
        unbroken_g = weighed.grams + self._platform.zero.shift_g
        before, fell = modes.state, unbroken_g < modes.mass_g
        modes.update(ticks, unbroken_g, traits.noise_var)
        off = modes.state.good < 0.5
        if off or (fell and self._platform.shows_tare(weighed, before)):
            modes.restore(before)
            if off and self._look_back.rested_before(before):
                self._look_again(self._look_back.older(), period_s)
            else:
                self._open(before, [weighed], period_s)
            return
        self._follow(weighed, unbroken_g, period_s, before)
        fallen = self._fall.see(weighed.t_s, modes.mass_g, math.sqrt(traits.noise_var))
        if not fallen and self._fall.falling is not None:
            since_s = self._fall.came_down(weighed.t_s, modes.mass_g, pouring=self._log.pouring)
            if since_s is not None:
                self._log.retract(weighed.t_s, modes.mass_g)
                self._platform.events.came_down(since_s, since_s + COME_DOWN_S)
        if fallen or modes.runs_backwards(BACKWARDS_GPS):
            self._look_again(self._look_back.go_back(ticks), period_s)
        elif ticks >= self._look_back.due_ticks:
            self._look_back.check(self._checkpoint(weighed.t_s))
            self._may_rest(weighed.t_s)

    def finish(self, period_s: Seconds | None) -> Iterator[None]:
        """End the input: settle what is unclear, end an open pour and refine all. Yields after each
        slice of some milliseconds."""
        if self._platform.best is not None:
            self._settle(period_s)
        self._log.end(self._record.last_s, self._modes.mass_g)
        self._log.refine(self._record.last_s)
        yield from self._log.refine_all()
        self._vapour.with_losses(self._log.pours)
        self._vapour.close()

    def weighed(self, t_s: Seconds, traits: ScaleTraits) -> Estimate:
        """Return the Estimate after the reading just taken, or at ``t_s`` after it."""
        modes, log, platform, vapour = self._modes, self._log, self._platform, self._vapour
        if log.refining.busy:
            log.refine_on()
        pours = vapour.pours if log.pours is vapour.found else vapour.with_losses(log.pours)
        if self._rest is not None:
            return self._rest.estimate(t_s, traits, pours)
        best = platform.best
        mass_g, mass_var = modes.mass_g, modes.mass_var
        flow_gps, flow_var = modes.flow_gps, modes.flow_var
        disturbance, booked_g = platform.events.disturbance(t_s), platform.zero.booked_g
        if best is not None:
            mass_g, flow_gps = best.expected(self.ticks)
            mass_var, flow_var = platform.variances(self.ticks)
            booked_g = platform.zero.booked_under(best.shift_g, best.tares_g)
            if platform.touched:
                disturbance = Disturbance.KNOCK
        late, settled = NOTHING_NEW
        if best is None and self.ticks >= self._settled.due_ticks:
            late, settled = self._settled.newest(self.ticks, modes, booked_g, log.holds)
        seen = (
            t_s,
            mass_g - booked_g,
            math.sqrt(mass_var),
            flow_gps if flow_gps > 0.0 else 0.0,
            ERROR_SHARE * math.sqrt(flow_var),
            log.pouring,
            modes.state.pour_probability,
            settled,
            disturbance,
            pours,
            traits,
            platform.events.events,
            booked_g,
            None,
            late,
        )
        return tuple.__new__(Estimate, seen)  # At a third of the time of its constructor.

    def _follow(
        self, weighed: Weighed, unbroken_g: Grams, period_s: Seconds | None, before: FilterState
    ) -> None:
        """A reading that the filter has just taken in."""
        t_s, ticks, _ = weighed
        modes, traits, good = self._modes, self._traits, self._modes.state.good
        if period_s is not None:
            noise_var = traits.noise_var + modes.drum_var
            self._settled.lagged.update(ticks, unbroken_g, good, period_s, noise_var)
        self._record.append(t_s, unbroken_g)
        probability, rise_gps2 = modes.state.pour_probability, modes.state.x[3]
        self._log.feed(t_s, probability, modes.pour_flow_gps, rise_gps2, modes.mass_g)
        if probability < REST_PROBABILITY and good > SURE_GOOD and ticks > self._rested_ticks:
            self._rested_ticks = ticks
            traits.rest([(unbroken_g - before.level_g, before.level_var)])
            self._vapour.rested(t_s, unbroken_g)
            self._log.rested(t_s, modes.state.level_g)
            self._platform.rested(t_s, modes.state.level_g)
        elif ticks > self._rested_ticks:
            self._stirred_ticks = ticks

    def _may_rest(self, t_s: Seconds) -> None:
        """Follow the level alone from here on, where nothing has happened for a while."""
        if (
            self.ticks - self._stirred_ticks > QUIET_TICKS
            and self._fall.falling is None
            and self._log.idle
            and self._platform.events.disturbance(t_s) is None
        ):
            error_gps = ERROR_SHARE * math.sqrt(self._modes.flow_var)
            self._rest = Resting(self._kept, self._modes.state, error_gps)

    def _checkpoint(self, t_s: Seconds) -> Checkpoint:
        return Checkpoint(t_s, self._modes.state, self._log.snapshot())

    def _look_again(self, back: Readings | None, period_s: Seconds | None) -> None:
        """What was taken for water of late may have been a touch."""
        if back is None:
            return
        checkpoint, readings = back
        self._modes.restore(checkpoint.state)
        self._log.restore(checkpoint.log)
        self._record.rewind(checkpoint.t_s)
        self._settled.restart(self._modes)
        self._platform.events.rewind(checkpoint.t_s)
        self._open(checkpoint.state, readings, period_s)

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
        let_go, touched, under_g = False, False, -math.inf
        for weighed, turn, off, since_ticks, trails in self._platform.settle(math.sqrt(noise_var)):
            t_s, ticks, grams = weighed
            if off:
                log.touched(t_s)
                touched = True
                continue
            unbroken_g = grams + self._platform.zero.shift_g
            before, before_g = modes.state, modes.mass_g
            since_s = self._origin_s + since_ticks / TICKS_PER_S
            if turn is not None and turn.kind is TurnKind.STREAM:
                modes.restore(with_flow_free(before))
            if turn is None or turn.kind in (TurnKind.BACK, TurnKind.STREAM):
                modes.update(ticks, unbroken_g, noise_var, no_touch=True)
                if trails:
                    modes.expect_tail(unbroken_g - before.level_g)
            else:
                under_g = before_g if turn.kind is TurnKind.RETURN else -math.inf
                let_go |= self._change_level(turn, noise_var, since_s, t_s)
            self._rested_ticks = ticks if trails else self._rested_ticks
            if turn is not None and ticks - since_ticks > GAP_TICKS:
                self._settled.restart(self._modes)
                if turn.kind is TurnKind.BACK and (log.pouring or not touched):
                    log.hidden(since_s, t_s, before_g, modes.mass_g)
            self._follow(weighed, unbroken_g, period_s, before)
            self._settled.catch_up(ticks, modes, self._platform.zero.booked_g, log.holds)
        if (let_go or modes.mass_g < under_g - COME_DOWN_G) and not log.pouring:
            log.retract(t_s, modes.mass_g)  # The last of a hand goes a moment late.
        self._look_back.restart(self._checkpoint(weighed.t_s))

    def _change_level(self, turn: Turn, noise_var: float, since_s: Seconds, t_s: Seconds) -> bool:
        """The level is another than before; whether a hand has let go."""
        modes, log = self._modes, self._log
        before, before_g = modes.state, modes.mass_g
        pressed_s = self._platform.events.pressed_s(t_s) if turn.let_go else None
        hand = turn.kind is TurnKind.FALL or (pressed_s or math.inf) < math.inf
        if hand or turn.kind is TurnKind.WATER or turn.water_g:
            since_s = self._platform.events.lifted_s(since_s) if turn.water_g else since_s
            likely = UNSEEN_POUR if hand else max(0.3, 0.5 * before.pour_probability)
            modes.restore(state_at(turn.ticks, turn.level_g, noise_var, likely, before.drum_s2))
            if hand or not log.pouring:
                self._settled.restart(self._modes)
            if not hand and t_s - since_s > HIDDEN_S:
                log.hidden(since_s, t_s, before_g, turn.level_g)
        else:
            modes.restore(carried_over(before, turn.ticks, turn.level_g, noise_var))
        let_go = hand or turn.lets_go(before_g)
        if let_go:
            log.retract(t_s, turn.level_g, pressed_s)
            self._fall.explained(t_s, turn.level_g)
        return let_go
