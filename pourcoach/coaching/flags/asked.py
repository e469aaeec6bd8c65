"""Touches that the plan asks for between pours: they are expected, and no disturbance is noted."""

from collections.abc import Sequence

from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Seconds

ASKED_S: Seconds = 15.0
"""A swirl, a stir or a tap is made within this after its stage; later touches were not asked for
(common practice)."""
# A hand is at the brewer before the last drops are in, or the stage's end is found a little late.
_BEFORE_S: Seconds = 1.5


def without_asked(flags: Sequence[Flag], poured: Sequence[Poured], plan: Plan) -> list[Flag]:
    """The flags less the touches and lifts that the plan asked for."""
    asked = [
        one.stage.end_s
        for one in poured
        if one.index < len(plan.stages)
        and plan.stages[one.index].then is not None
        and one.stage.end_s is not None
    ]
    return [
        flag
        for flag in flags
        if flag.kind not in (FlagKind.DISTURBED, FlagKind.LIFTED)
        or not any(end_s - _BEFORE_S <= flag.start_s <= end_s + ASKED_S for end_s in asked)
    ]
