"""Where the pour stands against the plan at one moment, as one value."""

from pourcoach.coaching.course.bounds import earliest_s, latest_s, tolerance_g
from pourcoach.coaching.course.course import Course
from pourcoach.coaching.course.stage_log import StageLog
from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import (
    Ending,
    NextStep,
    Phase,
    Pour,
    PourState,
    Question,
    Replan,
)
from pourcoach.domain.units import Grams, Seconds

GO_ON_S: Seconds = 5.0
"""A brewer who follows WAIT goes on within this of the stage's time (common practice)."""

# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_READY, _POURING, _WAITING = Phase.READY, Phase.POURING, Phase.WAITING
_BREWER_ON_SCALE = Arrangement.BREWER_ON_SCALE


class Standing:
    """Makes the state where the scale weighs what is poured.

    One is made whenever the stages are sorted, with all that stays the same until the next time;
    ``at`` adds what changes with each input. Without a course, what needs a plan is None.
    """

    def __init__(self, phase: Phase, end: tuple[Seconds, Ending] | None, log: StageLog) -> None:
        """``end``: when and how the brew ended, if it did; ``log`` has just been sorted."""
        course, newest = log.course, log.poured[-1] if log.poured else None
        self._phase, self._brew_start_s, self._stages = phase, log.start_s, log.stages
        self._end_s: Seconds | None = None
        self._ending: Ending | None = None
        if end is not None:
            self._end_s, self._ending = end
        self._plan: Plan | None = None
        self._stage: Stage | None = None
        self._band_g: Grams | None = None
        self._following: NextStep | None = None
        self._replanned_s: Seconds | None = None
        self._replans: tuple[Replan, ...] = ()
        self._running: tuple[Stage, Pour] | None = None
        """The stage whose water runs, and its running pour."""
        self._early_start_s: Seconds | None = None
        """Planned brew time of the running stage if it was begun too early."""
        self._latest_s: Seconds | None = None
        """Brew time after which the stage that is waited for is overdue."""
        if course is None:
            return
        last = course.last
        self._plan = plan = course.displayed
        self._replans, self._replanned_s = course.replans, course.replanned_s
        index = _stage_index(course, phase, newest)
        self._band_g = tolerance_g(plan, min(index, last))
        self._following = _next_step(plan, phase, index)
        self._stage = plan.stages[index] if index <= last else None
        if phase is Phase.WAITING and index <= last:
            self._latest_s = latest_s(plan, index)
        if newest is None:
            return
        if newest.stage.end_s is None and newest.index <= last:
            self._running = plan.stages[newest.index], newest.stage.pours[-1]
        if phase is Phase.POURING and 0 < newest.first <= last and self._brew_start_s is not None:
            begun_s = newest.stage.start_s - self._brew_start_s
            if begun_s < earliest_s(course.current, newest.first):
                self._early_start_s = course.current.stages[newest.first].start_s

    def at(
        self,
        t_s: Seconds,
        water_g: Grams,
        *,
        armed: bool,
        looks_like: Arrangement | None,
        question: Question | None = None,
        rise_g: Grams | None = None,
    ) -> PourState:
        """Return the state at ``t_s`` on the tape, with this much water."""
        phase, plan, stage, brew_start_s = self._phase, self._plan, self._stage, self._brew_start_s
        now_s = t_s if self._end_s is None else self._end_s
        brew_s = None if brew_start_s is None else max(0.0, now_s - brew_start_s)
        target_g = off_g = off_s = countdown_s = early_s = overdue_s = None
        if plan is not None:
            target_g = self._target_g(plan, now_s, brew_s or 0.0)
            # What stands on a scale that was not tared is no water.
            if armed or phase is not _READY:
                off_g = water_g - target_g
            if phase is _POURING:
                if stage is not None and off_g is not None and target_g < stage.to_g:
                    off_s = off_g / stage.flow_gps
                if self._early_start_s is not None and brew_start_s is not None:
                    left_s = self._early_start_s - (now_s - brew_start_s)
                    if left_s > -GO_ON_S:
                        early_s, countdown_s = left_s, max(0.0, left_s)
            elif phase is _WAITING and stage is not None and brew_s is not None:
                countdown_s = max(0.0, stage.start_s - brew_s)
                if self._latest_s is not None and brew_s > self._latest_s:
                    overdue_s = brew_s - stage.start_s
        return PourState(
            brew_s,
            water_g,
            off_g,
            countdown_s,
            phase,
            armed,
            brew_start_s,
            self._end_s,
            self._ending,
            plan,
            stage,
            target_g,
            self._band_g,
            off_s,
            self._following,
            self._stages,
            self._replanned_s,
            self._replans,
            looks_like,
            _BREWER_ON_SCALE,
            question,
            rise_g,
            early_s,
            overdue_s,
        )

    def _target_g(self, plan: Plan, now_s: Seconds, brew_s: Seconds) -> Grams:
        """The curve now: from where the pour that runs began, else by the plan's clock."""
        if self._running is None:
            return plan.target_g(brew_s)
        stage, pour = self._running
        risen_g = stage.flow_gps * max(0.0, now_s - pour.start_s)
        return min(stage.to_g, pour.start_g + risen_g)


def standing_by_clock(
    t_s: Seconds,
    *,
    phase: Phase,
    armed: bool,
    brew_start_s: Seconds | None,
    end: tuple[Seconds, Ending] | None,
    dripped_g: Grams,
    plan: Plan | None,
    index: int,
    looks_like: Arrangement | None,
) -> PourState:
    """Return the state where the scale weighs what has dripped: by the plan's clock, at its stage
    ``index``. How far off the pour is cannot be seen."""
    state = _without_plan(t_s, phase, armed, brew_start_s, end, dripped_g)._replace(
        arrangement=Arrangement.SERVER_ON_SCALE, looks_like=looks_like
    )
    if plan is None:
        return state
    ahead = phase in (Phase.READY, Phase.POURING, Phase.WAITING)
    stage = plan.stages[index] if ahead else None
    waits = phase is Phase.WAITING and stage is not None and state.brew_s is not None
    return state._replace(
        plan=plan,
        stage=stage,
        countdown_s=stage.start_s - state.brew_s if waits and stage and state.brew_s else None,
        next=None if phase is Phase.DONE else _next_step(plan, phase, index),
    )


def _without_plan(
    t_s: Seconds,
    phase: Phase,
    armed: bool,
    brew_start_s: Seconds | None,
    end: tuple[Seconds, Ending] | None,
    water_g: Grams,
) -> PourState:
    """What a brew of either arrangement has without a plan."""
    now_s = t_s if end is None else end[0]
    return PourState(
        phase=phase,
        armed=armed,
        brew_start_s=brew_start_s,
        brew_s=None if brew_start_s is None else max(0.0, now_s - brew_start_s),
        end_s=None if end is None else end[0],
        ending=None if end is None else end[1],
        water_g=water_g,
        plan=None,
        stage=None,
        target_g=None,
        band_g=None,
        off_g=None,
        off_s=None,
        countdown_s=None,
        next=None,
        stages=(),
    )


def _stage_index(course: Course, phase: Phase, newest: Poured | None) -> int:
    """The stage being poured, or waited for; the last one once all are poured."""
    if newest is None:
        return 0
    if phase is Phase.WAITING:
        return newest.index + 1
    return newest.index if phase is Phase.POURING else min(newest.index, course.last)


def _next_step(plan: Plan, phase: Phase, index: int) -> NextStep:
    last = len(plan.stages) - 1
    if phase is Phase.READY or phase is Phase.WAITING:
        stage = plan.stages[index]
        return NextStep(Phase.POURING, stage.start_s, stage.name, stage.to_g)
    if phase is Phase.POURING and index < last:
        return NextStep(Phase.WAITING, plan.stage_end_s(index))
    if phase is Phase.POURING:
        return NextStep(Phase.DRAINING, plan.stage_end_s(min(index, last)))
    return NextStep(Phase.DONE, plan.finish_s if phase is Phase.DRAINING else None)
