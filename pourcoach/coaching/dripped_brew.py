"""A brew with the server alone on the scale: guided by the clock, judged by the drip."""

from math import inf

from pourcoach.coaching.course.bounds import is_bloom
from pourcoach.coaching.course.standing import standing_by_clock
from pourcoach.coaching.flags.asked import without_asked_by_clock
from pourcoach.coaching.flags.drain import drain_flag, still_draining
from pourcoach.coaching.flags.platform import PlatformWatch
from pourcoach.coaching.platform.arming import Arming
from pourcoach.coaching.platform.arrangement import most_dripped_g
from pourcoach.coaching.platform.drawdown import MOST, RETAINED_G_PER_G, Drawdown, first_drip_s
from pourcoach.coaching.platform.ending import LAST_LIFT_S, LEFT_ALONE_S
from pourcoach.coaching.platform.lifts import Lifts
from pourcoach.coaching.platform.silences import Silences
from pourcoach.domain.advice import Cue, Flag, Word, usual_cue
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.inputs import Begin, Finish, Input, Tare
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Ending, Phase, PourState
from pourcoach.domain.units import Grams, Seconds

FIRST_DRIP_G: Grams = 2.0
"""The clock starts with the brewer's key. Without it, the start is estimated once so much has
dripped."""
VESSEL_G: Grams = 10.0
"""So much at once did not drip."""


class DrippedBrew:
    """Follows one brew of which the scale weighs only what has dripped, not what is poured."""

    def __init__(self, plan: Plan | None) -> None:
        self._plan = plan
        self._limits = plan.limits if plan is not None else FlagLimits()
        self._dry_g: Grams = 0.0
        """The unbroken weight before anything has dripped."""
        self._lifts = Lifts()
        self._arming = Arming()
        self._drawdown = Drawdown()
        self._platform = PlatformWatch(self._limits)
        self._silences = Silences()
        self._dripped_g: Grams = 0.0
        self._start_s: Seconds | None = None
        self._end: tuple[Seconds, Ending] | None = None
        self._doubted = False
        self._cue = usual_cue(Word.READY, 0.0)
        self.flags: tuple[Flag, ...] = ()
        """All flags so far, oldest first."""
        self.reaction_s: Seconds | None = None
        """Always None: the scale does not see the stops."""

    def feed(self, item: Input, estimate: Estimate) -> tuple[PourState, Cue]:
        """Take one input; return the state and the cue after it."""
        t_s = item.t_s
        self._take_key(item, estimate)
        if self._end is None:
            if self._start_s is None:
                self._arming.feed(t_s, estimate)
                if not self._arming.by_key:
                    self._dry_g = estimate.booked_g
            self._dripped_g = estimate.unbroken_g - self._dry_g
            from_s = inf if self._start_s is None else self._start_s
            self._lifts.feed(t_s, estimate.events, self._dripped_g, from_s)
            if self._start_s is None and self._arming.armed and not estimate.disturbance:
                self._start_by_drip(t_s)
            self._drawdown.feed(t_s, self._dripped_g)
            self._doubt(t_s)
        state = self._state(t_s)
        if self._end is None and self._start_s is not None:
            self._watch_end(t_s, state.phase)
            state = self._state(t_s)
        self._note(item, estimate, state)
        return state, self._choose(item, state)

    def close(self, t_s: Seconds, _estimate: Estimate) -> tuple[PourState, Cue]:
        """End the input; return the last state and cue."""
        if self._end is None and self._phase_at(t_s) is Phase.DRAINING:
            self._rest(self._drawdown.over_since_s(t_s, stays_s=0.0))
        if self._end is None:
            self._end = (t_s, Ending.TAPE)
        state = self._state(t_s)
        self._collect(t_s, state)
        return state, self._say(Word.DONE, t_s)

    def _phase_at(self, t_s: Seconds) -> Phase:
        return self._phase(None if self._start_s is None else t_s - self._start_s)[0]

    def _take_key(self, item: Input, estimate: Estimate) -> None:
        if isinstance(item, Begin) and self._start_s is None:
            self._arming.begin(item.t_s)
            self._dry_g = estimate.unbroken_g
            self._start_s = item.t_s
        elif isinstance(item, Finish) and self._end is None:
            self._end = (item.t_s, Ending.KEY)
        elif isinstance(estimate.taken_back, Finish):
            if self._end == (estimate.taken_back.t_s, Ending.KEY):
                self._end = None
        elif isinstance(item, Tare) and self._start_s is None:
            self._arming.reset()

    def _start_by_drip(self, t_s: Seconds) -> None:
        """Estimate the first water from the first drip, where no key was pressed for it."""
        if FIRST_DRIP_G <= self._dripped_g < VESSEL_G:
            before_s = 0.0 if self._plan is None else first_drip_s(self._plan)
            self._start_s = max(0.0, t_s - before_s)

    def _watch_end(self, t_s: Seconds, phase: Phase) -> None:
        lift = self._lifts.lift
        if phase is not Phase.DRAINING:
            return
        if lift is not None:
            if t_s - lift.since_s >= LAST_LIFT_S:
                self._end = (lift.since_s, Ending.LIFTED)
            return
        over_s = self._drawdown.over_since_s(t_s)
        self._rest(over_s)
        if self._end is None and over_s is not None and t_s - over_s >= LEFT_ALONE_S:
            # Less has dripped than the plan's water leaves, and no more comes.
            self._end = (over_s, Ending.LEFT)

    def _rest(self, over_s: Seconds | None) -> None:
        """The drip is over, if what should drip has dripped."""
        if over_s is not None and self._dripped_g >= MOST * self._expected_g():
            self._end = (over_s, Ending.RESTED)

    def _expected_g(self) -> Grams:
        """What should drip in all."""
        if self._plan is None:
            return FIRST_DRIP_G
        return max(FIRST_DRIP_G, self._plan.water_g - RETAINED_G_PER_G * self._plan.dose_g)

    def _doubt(self, t_s: Seconds) -> None:
        """More on the scale than can have dripped through: the brewer seems to stand there too."""
        if self._plan is None or self._start_s is None:
            return
        most_g = most_dripped_g(self._plan, t_s - self._start_s)
        if self._dripped_g > most_g + self._limits.landing_g:
            self._doubted = True

    def _note(self, item: Input, estimate: Estimate, state: PourState) -> None:
        brewing = self._start_s is not None and self._end is None
        lifted = self._lifts.lift is not None
        self._platform.feed(item, estimate, None, brewing=brewing, lifted=lifted)
        self._collect(item.t_s, state)

    def _collect(self, t_s: Seconds, state: PourState) -> None:
        if self._end is not None:
            self._platform.forget_from(self._end[0])
        flags = list(self._platform.flags)
        if self._plan is not None:
            drain = drain_flag(state, self._plan.finish_s, self._limits, weighed=True)
            if drain is None and (state.phase is Phase.DRAINING or state.ending is Ending.TAPE):
                drain = still_draining(state, self._plan.finish_s, self._limits, t_s)
            if self._start_s is not None:
                flags = without_asked_by_clock(flags, self._start_s, self._plan)
            flags += [drain] if drain is not None else []
        if flags or self.flags:
            self.flags = tuple(sorted(flags, key=lambda flag: flag.start_s))

    def _phase(self, brew_s: Seconds | None) -> tuple[Phase, int]:
        """The phase by the plan's clock, and the stage it is about."""
        if self._end is not None:
            return Phase.DONE, 0
        if brew_s is None:
            return Phase.READY, 0
        if self._plan is None:
            return Phase.DRAINING, 0
        for index, stage in enumerate(self._plan.stages):
            if brew_s < stage.start_s:
                return Phase.WAITING, index
            if brew_s < self._plan.stage_end_s(index):
                return Phase.POURING, index
        return Phase.DRAINING, len(self._plan.stages) - 1

    def _state(self, t_s: Seconds) -> PourState:
        now_s = t_s if self._end is None else self._end[0]
        phase, index = self._phase(None if self._start_s is None else now_s - self._start_s)
        return standing_by_clock(
            t_s,
            phase=phase,
            armed=phase is Phase.READY and self._arming.armed,
            brew_start_s=self._start_s,
            end=self._end,
            dripped_g=self._dripped_g,
            plan=self._plan,
            index=index,
            looks_like=Arrangement.BREWER_ON_SCALE if self._doubted else None,
        )

    def _choose(self, item: Input, state: PourState) -> Cue:
        t_s = item.t_s
        silent_s = self._silences.feed(item)
        match state.phase:
            case Phase.DONE:
                return self._say(Word.DONE, t_s)
            case _ if silent_s is not None:
                return self._say(Word.SCALE, t_s)
            case Phase.POURING:
                bloom = self._plan is not None and state.stage is self._plan.stages[0]
                named = self._plan is not None and is_bloom(self._plan, 0)
                return self._say(Word.BLOOM if bloom and named else Word.POUR, t_s)
            case Phase.WAITING:
                return self._say(Word.WAIT, t_s)
            case Phase.DRAINING:
                return self._say(Word.DRAIN, t_s)
            case _:
                return self._say(Word.READY if state.armed else Word.TARE, t_s)

    def _say(self, word: Word, t_s: Seconds) -> Cue:
        if word is not self._cue.word:
            self._cue = usual_cue(word, t_s)
        return self._cue
