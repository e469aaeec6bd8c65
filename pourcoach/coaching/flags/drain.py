"""How long the bed took to drain, as reported by a lift or a key, or as weighed."""

from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Ending, PourState
from pourcoach.domain.units import Seconds

REPORTED = 0.9
"""Confidence where the brewer reported the end, and may have lifted late."""
WEIGHED = 0.97
"""Confidence where the drip itself was weighed."""


def drain_flag(
    state: PourState, planned_s: Seconds, limits: FlagLimits, *, weighed: bool
) -> Flag | None:
    """Return the flag of a bed that drained past the planned finish, or None.

    ``weighed``: the server stands on the scale, so that a rest is the end of the drip.
    """
    reported = state.ending in (Ending.KEY, Ending.LIFTED)
    if not reported and not (weighed and state.ending is Ending.RESTED):
        return None
    assert state.end_s is not None
    return _flag(
        state, planned_s, limits, state.end_s, WEIGHED if weighed else REPORTED, refined=True
    )


def still_draining(
    state: PourState, planned_s: Seconds, limits: FlagLimits, t_s: Seconds
) -> Flag | None:
    """Return the same flag while the drip still runs."""
    return _flag(state, planned_s, limits, t_s, WEIGHED, refined=False)


def _flag(
    state: PourState,
    planned_s: Seconds,
    limits: FlagLimits,
    end_s: Seconds,
    confidence: float,
    *,
    refined: bool,
) -> Flag | None:
    brew_s, start_s = state.brew_s, state.brew_start_s
    if brew_s is None or start_s is None or brew_s <= planned_s * (1.0 + limits.drain_share):
        return None
    evidence = {"brew_s": brew_s, "planned_s": planned_s, "allowed_share": limits.drain_share}
    begin_s = start_s + planned_s
    return Flag(FlagKind.SLOW_DRAIN, begin_s, end_s, None, confidence, evidence, refined)
