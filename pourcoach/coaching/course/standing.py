"""Where the pour stands against the plan at one moment, as one value."""

from pourcoach.coaching.course.bounds import earliest_s, latest_s, tolerance_g
from pourcoach.coaching.course.course import Course
from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Ending, NextStep, Phase, PourState, Question, Replan, StagePour
from pourcoach.domain.units import Grams, Seconds

GO_ON_S: Seconds = 5.0
"""A brewer who heeded WAIT goes on within this of the stage's time (common practice)."""


def standing(
    t_s: Seconds,
    *,
    phase: Phase,
    armed: bool,
    brew_start_s: Seconds | None,
    end: tuple[Seconds, Ending] | None,
    water_g: Grams,
    course: Course | None,
    newest: Poured | None,
    stages: tuple[StagePour, ...],
    looks_like: Arrangement | None,
    question: Question | None = None,
    rise_g: Grams | None = None,
) -> PourState:
    """The state where the scale weighs what is poured. Without a course, what needs a plan is
    None."""
    now_s, end_s, ending = (t_s, None, None) if end is None else (end[0], *end)
    brew_s = None if brew_start_s is None else max(0.0, now_s - brew_start_s)
    plan = stage = target_g = band_g = off_g = following = replanned_s = None
    off_s = countdown_s = early_s = overdue_s = None
    replans: tuple[Replan, ...] = ()
    if course is not None:
        plan, replanned_s, replans = course.displayed, course.replanned_s, course.replans
        index, last = _stage_index(course, phase, newest), course.last
        stage = plan.stages[index] if index <= last else None
        running = newest if newest is not None and newest.stage.end_s is None else None
        target_g = course.target_g(running, now_s, brew_s or 0.0)
        band_g = tolerance_g(plan, min(index, last))
        # What stands on a scale that was not tared is no water.
        off_g = water_g - target_g if armed or phase is not Phase.READY else None
        following = _next_step(plan, phase, index)
        if phase is Phase.POURING and stage and off_g is not None and target_g < stage.to_g:
            off_s = off_g / stage.flow_gps
        elif phase is Phase.WAITING and stage is not None and brew_s is not None:
            countdown_s = max(0.0, stage.start_s - brew_s)
            if brew_s > latest_s(plan, index):
                overdue_s = brew_s - stage.start_s
        if phase is Phase.POURING and newest is not None and brew_start_s is not None:
            early_s = _early_s(course, newest, brew_start_s, now_s)
            countdown_s = None if early_s is None else max(0.0, early_s)
    return PourState(
        brew_s,
        water_g,
        off_g,
        countdown_s,
        phase,
        armed,
        brew_start_s,
        end_s,
        ending,
        plan,
        stage,
        target_g,
        band_g,
        off_s,
        following,
        stages,
        replanned_s=replanned_s,
        replans=replans,
        looks_like=looks_like,
        question=question,
        rise_g=rise_g,
        early_s=early_s,
        overdue_s=overdue_s,
    )


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
    """The state where the scale weighs what has dripped: by the plan's clock, at its stage
    ``index``; how far off the pour is nobody can see."""
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


def _early_s(
    course: Course, newest: Poured, brew_start_s: Seconds, now_s: Seconds
) -> Seconds | None:
    """How long it still is to the time of a stage that was begun before its bounds; below zero for
    a while after it.
    """
    index = newest.first
    if not 0 < index <= course.last or newest.stage.start_s - brew_start_s >= earliest_s(
        course.current, index
    ):
        return None
    left_s = course.current.stages[index].start_s - (now_s - brew_start_s)
    return left_s if left_s > -GO_ON_S else None


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
