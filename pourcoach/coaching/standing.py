"""Where the pour stands against the plan at one moment, as one value."""

from pourcoach.coaching.bounds import tolerance_g
from pourcoach.coaching.course import Course
from pourcoach.coaching.stages import Poured
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import Ending, NextStep, Phase, PourState, StagePour
from pourcoach.domain.units import Grams, Seconds


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
) -> PourState:
    """The state for a Frame. Without a course, what needs a plan is None."""
    now_s = t_s if end is None else end[0]
    brew_s = None if brew_start_s is None else max(0.0, now_s - brew_start_s)
    plan: Plan | None = None
    stage: Stage | None = None
    target_g = band_g = off_g = off_s = countdown_s = replanned_s = None
    step: NextStep | None = None
    if course is not None:
        plan, replanned_s = course.shown, course.replanned_s
        index = _stage_index(course, phase, newest)
        stage = plan.stages[index] if index <= course.last else None
        running = newest if newest is not None and newest.stage.end_s is None else None
        target_g = course.target_g(running, now_s, brew_s or 0.0)
        band_g = tolerance_g(plan, min(index, course.last))
        off_g = water_g - target_g
        if phase is Phase.POURING and stage is not None and target_g < stage.to_g:
            off_s = off_g / stage.flow_gps
        elif phase is Phase.WAITING and stage is not None and brew_s is not None:
            countdown_s = max(0.0, stage.start_s - brew_s)
        step = _next_step(plan, phase, index)
    return PourState(
        phase=phase,
        armed=armed,
        brew_start_s=brew_start_s,
        brew_s=brew_s,
        end_s=None if end is None else end[0],
        ending=None if end is None else end[1],
        water_g=water_g,
        plan=plan,
        stage=stage,
        target_g=target_g,
        band_g=band_g,
        off_g=off_g,
        off_s=off_s,
        countdown_s=countdown_s,
        next=step,
        stages=stages,
        replanned_s=replanned_s,
        looks_like=looks_like,
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
