"""Where the brew stands: begun or not, which stage, how far off the curve, over or not."""

from math import inf

from pourcoach.coaching.course.stage_log import StageLog
from pourcoach.coaching.course.stages import GIVE_UP_S
from pourcoach.coaching.course.standing import Standing
from pourcoach.coaching.flow.trace import Trace
from pourcoach.coaching.platform.arming import LAST_GROUNDS_G, SLACK_S, Arming
from pourcoach.coaching.platform.arrangement import SlowRise
from pourcoach.coaching.platform.doubts import Doubts
from pourcoach.coaching.platform.ending import ended
from pourcoach.coaching.platform.first_rise import UntaredRise, beyond_the_dose, is_the_dose
from pourcoach.coaching.platform.lifts import Lifts, is_bare
from pourcoach.coaching.platform.questions import asked
from pourcoach.coaching.platform.water import DryLine, in_water
from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent
from pourcoach.domain.inputs import Begin, Finish, Input, Mark, Reading, Tare, Undo
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Ending, Phase, Pour, PourState
from pourcoach.domain.units import Grams, Seconds

# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_READY = Phase.READY


class Progress:
    """Follows one brew. ``feed`` takes every input in order."""

    def __init__(self, plan: Plan | None, trace: Trace) -> None:
        self._plan = plan
        self.log = StageLog(plan, trace)
        """What has been poured, by stage."""
        self.water_g: Grams = 0.0
        self.brew_start_s: Seconds | None = None
        self.end: tuple[Seconds, Ending] | None = None
        self._line = DryLine()
        self._lifts = Lifts()
        self._doubts = Doubts()
        self._arming = Arming()
        self._untared = UntaredRise(plan)
        self._slow_rise = SlowRise(plan)
        self._phase = Phase.READY
        self._standing = Standing(self._phase, None, self.log)
        self._found: tuple[Pour, ...] = ()
        self._stale = False
        self._tared_g: Grams | None = None
        """The water at a tare during the first rise, until it is known whether that was coffee."""
        self._tares: list[tuple[Tare, Seconds | None, Grams, bool]] = []
        """Before each tare that may be undone: armed since when, dry weight, whether water came."""
        self._events: tuple[PlatformEvent, ...] = ()

    @property
    def lifted(self) -> bool:
        """Whether something heavy has been taken off the scale in mid-brew."""
        return self._lifts.lift is not None

    def feed(self, item: Input, estimate: Estimate) -> PourState:
        """Take one input with the Estimate after it; return the state."""
        t_s = item.t_s
        if not isinstance(item, Reading):
            self._take_key(item, estimate)
        begun = self.brew_start_s is not None
        if self.end is None:
            unbroken_g = estimate.unbroken_g
            if not begun:
                self._arming.feed(t_s, estimate, moved=estimate.events is not self._events)
                if self._arming.armed:
                    self._untared.forget(t_s)
                else:
                    self._untared.feed(t_s, estimate)
            else:
                self._slow_rise.feed(t_s, unbroken_g)
            if not begun or estimate.booked_g != self._line.booked_g:
                self._line.feed(t_s, estimate.booked_g, begun=begun, kept=self._arming.by_key)
            dry_g = self._line.dry_g + self._arming.below_g
            self.water_g = unbroken_g - dry_g + self._doubts.counted_g
            from_s = inf if self.brew_start_s is None else self.brew_start_s
            self._lifts.feed(t_s, estimate.events, self.water_g, from_s)
            if self._lifts.lift is not None and self._phase is not Phase.DRAINING:
                self._lifts.poured_on(estimate.pours, unbroken_g)
            running = estimate.pouring or self.log.running
            now = t_s, estimate, self._found, self.water_g, from_s
            self._stale |= self._doubts.feed(*now, running=running)
        self._refresh(t_s, estimate)
        if self.end is None and not begun and self.brew_start_s is not None:
            from_g = 0.0 if self._arming.by_key else self.log.start_g
            self.water_g -= self._line.begin(self.brew_start_s, from_g, estimate.events)
            self._sort(t_s)
        if self._tared_g is not None:
            self._judge_tare(t_s, self._tared_g, estimate)
        if estimate.events is not self._events:
            self._events = estimate.events
            self._judge_scale_tare(t_s, estimate)
        # While water runs, only a lift can be the end.
        may_end = not self.log.running or self._lifts.lift is not None
        if may_end and self.end is None and self.brew_start_s is not None:
            self._watch_end(t_s, self.brew_start_s, estimate)
        return self._state(t_s)

    def close(self, t_s: Seconds, estimate: Estimate) -> PourState:
        """End the input; return the last state."""
        if self._phase is _READY and self._untared.was_the_water(estimate):
            self._begin(t_s, estimate)
            self.water_g = estimate.unbroken_g - self._line.dry_g
        self._refresh(t_s, estimate)
        if self.end is None:
            lift = self._lifts.lift if self._phase is Phase.DRAINING else None
            self.end = (lift.since_s, Ending.LIFTED) if lift else (t_s, Ending.TAPE)
            self._leave_drips_out()
        self._sort(t_s)
        return self._state(t_s)

    def _take_key(self, item: Input, estimate: Estimate) -> None:
        if isinstance(item, Tare):
            self._tare(item, estimate)
        elif isinstance(item, Begin):
            if self.end is None and self._doubts.count(item.t_s):
                self._stale = True
            elif self.brew_start_s is None:
                self._begin(item.t_s, estimate)
        elif isinstance(item, Finish):
            if self.end is None:
                self.end = (item.t_s, Ending.KEY)
                self._stale = True
        elif estimate.taken_back is not None:
            self._take_back(estimate.taken_back)
        if isinstance(item, Tare | Undo):
            self._line.tared(estimate.booked_g)

    def _begin(self, t_s: Seconds, estimate: Estimate) -> None:
        """The brewer begins as it is: water that runs or has come in counts from its beginning."""
        rise, since_s, dry_g = self._untared.now, t_s, estimate.unbroken_g
        if rise is not None and (rise.is_water or rise.running):
            since_s, dry_g = rise.since_s, rise.from_g
        elif self._arming.since_s is not None:
            # Ready as it is: the first of the water may have come already.
            since_s, dry_g = self._arming.since_s, self._line.dry_g + self._arming.below_g
        self._arming.begin(since_s)
        self._line.put(dry_g)
        self._stale = True

    def _take_back(self, act: Tare | Mark | Finish) -> None:
        if isinstance(act, Finish) and self.end == (act.t_s, Ending.KEY):
            self.end, self._stale = None, True
        elif isinstance(act, Tare) and self._tares and self._tares[-1][0] is act:
            _, since_s, dry_g, wet = self._tares.pop()
            if wet or self.brew_start_s is None:
                # Water that has begun to come since a tare of the dry brewer stays what it is.
                self._arming.since_s = since_s
                self._line.put(dry_g)
                self._tared_g = None
                self._stale = True

    def _tare(self, item: Tare, estimate: Estimate) -> None:
        if self._lifts.lift is not None and self._doubts.may_be_a_tare(self._lifts.lift):
            self._lifts.dismiss()
        hand = self._doubts.may_be_a_hand(self.log.stages, item.t_s)
        self._doubts.dismiss(item.t_s)
        wet = self.brew_start_s is not None
        self._tares.append((item, self._arming.since_s, self._line.dry_g, wet))
        if self._still_first() or hand:
            # What rose before this tare was coffee, a vessel or a hand, not the first water.
            self._begin_afresh(estimate)
        else:
            runs = len(self.log.poured) == 1 and self.log.poured[0].stage.end_s is None
            self._tared_g = self.water_g if runs else None
        self._stale = True

    def _judge_tare(self, t_s: Seconds, tared_g: Grams, estimate: Estimate) -> None:
        """Once the rise has ended that the platform was tared in."""
        if self.log.poured and self.log.poured[0].stage.end_s is None:
            return
        self._tared_g = None
        if self._still_first() and self.water_g - tared_g < LAST_GROUNDS_G:
            self._begin_afresh(estimate)
            self._sort(t_s)

    def _judge_scale_tare(self, t_s: Seconds, estimate: Estimate) -> None:
        """A tare by the scale's own button takes no water along; but where just the dose has come
        before it, that was the coffee."""
        newest = self._events[-1] if self._events else None
        if newest is None or newest.kind is not EventKind.SCALE_TARE or self._plan is None:
            return
        rested = self.log.poured and is_the_dose(self.log.poured[0].stage, self._plan, t_s)
        if rested and self._still_first():
            self._begin_afresh(estimate)
            self._sort(t_s)

    def _begin_afresh(self, estimate: Estimate) -> None:
        """What has risen so far was no water."""
        self._arming.reset()
        self._untared.forget(estimate.t_s)
        self._line.put(estimate.unbroken_g)
        self.brew_start_s = None
        self.log.begin_afresh()

    def _still_first(self) -> bool:
        """Whether what came in so far rests on the scale, and may be no more than the coffee."""
        if not self.log.poured:
            return True
        first, only = self.log.poured[0], len(self.log.poured) == 1
        if self.end is not None or self.lifted or not only or first.stage.end_s is None:
            return False
        if self.log.course is not None and self.log.landed(first):
            return False
        return not beyond_the_dose(first.stage.mass_g or 0.0, self._plan)

    def _refresh(self, t_s: Seconds, estimate: Estimate) -> None:
        """Sort pours into stages again, if any has changed or the running one got far enough."""
        pours = estimate.pours
        changed = pours is not self._found and pours != self._found
        self._found = pours
        if changed or self._stale or self.water_g >= self.log.next_look_g:
            self._sort(t_s)

    def _sort(self, t_s: Seconds) -> None:
        self._stale = False
        dry_g = self._line.dry_g + self._arming.below_g
        pours = in_water(filter(self._counts, self._found), dry_g, self._doubts.counted)
        self.log.sort(t_s, self._doubts.with_doubt(pours), self.water_g, self.end)
        self.brew_start_s = self.log.start_s
        self._phase = self._phase_now()
        self._standing = Standing(self._phase, self.end, self.log)

    def _counts(self, pour: Pour) -> bool:
        before_end = self.end is None or pour.start_s < self.end[0]
        # All that follows its beginning is part of the brew, even if that is taken back.
        start_s = self.brew_start_s
        begun = start_s is not None and pour.start_s > start_s - SLACK_S
        return before_end and (begun or self._arming.counts(pour.start_s))

    def _watch_end(self, t_s: Seconds, brew_start_s: Seconds, estimate: Estimate) -> None:
        newest, course = self.log.poured[-1], self.log.course
        if self._lifts.lift is not None:
            self._lifts.reached(self.log.last_began_s)
        lift = None if estimate.settled is None else self._lifts.lift  # It may be back already.
        last_end_s, brew_s, unbroken_g = newest.stage.end_s, t_s - brew_start_s, estimate.unbroken_g
        rested_s = 0.0 if last_end_s is None else t_s - last_end_s
        if course is not None and self._phase is Phase.POURING and last_end_s is not None:
            last = newest.index == course.last
            wait_s = GIVE_UP_S if last else course.due_s(newest.index + 1) - brew_s
            if rested_s > wait_s:
                self.log.give_up(newest.index)
                self._sort(t_s)
        self.end = ended(
            t_s=t_s,
            brew_s=brew_s,
            phase=self._phase,
            rested_s=rested_s,
            lift=lift,
            bare=lift is not None and is_bare(lift, estimate.events, unbroken_g, self.water_g),
            plan=course.current if course is not None else None,
            overdue_s=self.log.overdue_s(t_s),
        )
        if self.end is not None:
            self._leave_drips_out()
            self._sort(t_s)

    def _leave_drips_out(self) -> None:
        """A brewer that is taken away for good and held over the server only drips."""
        lift = self._lifts.lift
        if lift is not None and self.end is not None and self.end[1] is Ending.LIFTED:
            self.water_g = lift.water_g

    def _phase_now(self) -> Phase:
        if self.end is not None:
            return Phase.DONE
        if not self.log.poured:
            return Phase.READY
        newest = self.log.poured[-1]
        if not self.log.landed(newest):
            return Phase.POURING
        if self.log.course is not None and newest.index >= self.log.course.last:
            return Phase.DRAINING
        return Phase.WAITING

    def _state(self, t_s: Seconds) -> PourState:
        question = rise_g = None
        if not self.log.running or self._doubts.gain is not None:
            question, rise_g = asked(
                t_s,
                phase=self._phase,
                plan=self._plan,
                first=self.log.stages[0] if len(self.log.stages) == 1 else None,
                running=self.log.running,
                arming=self._arming,
                untared=self._untared,
                lift=self._lifts.lift,
                doubts=self._doubts,
                overdue_s=self.log.overdue_s(t_s),
            )
        return self._standing.at(
            t_s,
            self.water_g,
            armed=self._phase is _READY and self._arming.armed,
            looks_like=Arrangement.SERVER_ON_SCALE if self._slow_rise.seen else None,
            question=question,
            rise_g=rise_g,
        )
