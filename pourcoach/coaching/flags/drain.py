"""How long the bed took, where somebody told: the brewer by lifting or a key."""

from pourcoach.coaching.course import Course
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.pour import Ending, PourState
from pourcoach.domain.units import Seconds

TOLD = 0.9
"""Confidence: the brewer may have been busy elsewhere and lifted late."""
SEEN = 0.97
"""Confidence where the drip itself was weighed."""


def drain_flag(state: PourState, course: Course, *, weighed: bool) -> Flag | None:
    """The flag of a bed that drained past the planned finish, or None."""
    told = weighed or state.ending in (Ending.KEY, Ending.LIFTED)
    if not told or state.end_s is None or state.brew_s is None or state.brew_start_s is None:
        return None
    planned_s: Seconds = max(course.first.finish_s, course.in_force.finish_s)
    share = course.first.limits.drain_share
    if state.brew_s <= planned_s * (1.0 + share):
        return None
    return Flag(
        FlagKind.SLOW_DRAIN,
        state.brew_start_s + planned_s,
        state.end_s,
        None,
        SEEN if weighed else TOLD,
        {"brew_s": state.brew_s, "planned_s": planned_s, "allowed_share": share},
        refined=True,
    )
