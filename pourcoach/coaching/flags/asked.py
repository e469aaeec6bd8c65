"""Touches that the plan asks for between pours, which are no disturbances."""

from collections.abc import Sequence

from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.plan import Arrangement, Plan, Then
from pourcoach.domain.pour import PourState
from pourcoach.domain.units import Seconds

ASKED_S: Seconds = 15.0
"""A swirl, stir or tap follows its stage within this; later touches were not asked for (common
practice)."""
# A hand is at the brewer before the last drops are in, or the stage's end is found a little late.
_BEFORE_S: Seconds = 1.5
# Pours that the scale does not see end by the clock, give or take what a stage may begin late.
_BEFORE_UNSEEN_S: Seconds = 8.0


def without_asked(flags: Sequence[Flag], poured: Sequence[Poured], plan: Plan) -> list[Flag]:
    """Return the flags without the touches and lifts that the plan asked for."""
    ends_s = [
        one.stage.end_s
        for one in poured
        if one.index < len(plan.stages)
        and plan.stages[one.index].then is not None
        and one.stage.end_s is not None
    ]
    return _without(flags, ends_s, _BEFORE_S)


def without_asked_by_clock(flags: Sequence[Flag], start_s: Seconds, plan: Plan) -> list[Flag]:
    """Return the same for a brew whose pours the scale does not see, begun at ``start_s``."""
    ends_s = [
        start_s + plan.stage_end_s(index)
        for index, stage in enumerate(plan.stages)
        if stage.then is not None
    ]
    return _without(flags, ends_s, _BEFORE_UNSEEN_S)


def asked_now(state: PourState, t_s: Seconds) -> Then | None:
    """Return what the plan asks to be done after the stage just poured; None if nothing, or not
    now."""
    plan = state.plan
    if plan is None:
        return None
    if state.arrangement is Arrangement.SERVER_ON_SCALE:
        brew_s = state.brew_s or 0.0
        over = [index for index in range(len(plan.stages)) if plan.stage_end_s(index) <= brew_s]
        if not over or brew_s - plan.stage_end_s(over[-1]) > ASKED_S:
            return None
        return plan.stages[over[-1]].then
    if not state.stages:
        return None
    poured = state.stages[-1]
    if poured.end_s is None or t_s - poured.end_s > ASKED_S:
        return None
    return next((stage.then for stage in plan.stages if stage.name == poured.stage), None)


def _without(flags: Sequence[Flag], ends_s: Sequence[Seconds], before_s: Seconds) -> list[Flag]:
    return [
        flag
        for flag in flags
        if flag.kind not in (FlagKind.DISTURBED, FlagKind.LIFTED)
        or not any(end_s - before_s <= flag.start_s <= end_s + ASKED_S for end_s in ends_s)
    ]
