"""When a brew is over."""

from math import inf

from pourcoach.coaching.platform.lifts import StandingLift
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending, Phase
from pourcoach.domain.units import Seconds

# Common practice; no published source.
LAST_LIFT_S: Seconds = 5.0
"""After the last mark, a lift that lasts this long is the end; one to look below the brewer is
shorter."""
BARE_S: Seconds = 15.0
"""Before the last mark, a platform left bare this long is the end: a brewer lifted to swirl the bed
is put back sooner. A lift that leaves something standing may be a lid, and ends nothing."""
SURE_LIFT = 0.9
"""A lift less sure than this may have been a tare by the scale's own button, and ends nothing
before it has been asked about for ``UNANSWERED_S``."""
UNANSWERED_S: Seconds = 60.0
"""A platform left bare this long with no answer is the end: nobody is there any more."""
REST_S: Seconds = 10.0
"""Least rest after the last water."""
SLOW_DRAINS = 2.0
"""How many times the allowed excess of a drain is waited for, so that a slow drain can still be
reported."""
LEFT_ALONE_S: Seconds = 180.0
"""A brew whose next pour has been due so long is over: the bed has drained and cooled."""
PLANLESS_REST_S: Seconds = 60.0
"""Without a plan, a rest this long is no wait between pours."""


def ended(
    *,
    t_s: Seconds,
    brew_s: Seconds,
    phase: Phase,
    rested_s: Seconds,
    lift: StandingLift | None,
    bare: bool,
    plan: Plan | None,
    overdue_s: Seconds,
) -> tuple[Seconds, Ending] | None:
    """The end of the brew, on the tape, and how it came; None while it goes on.

    ``rested_s`` is how long ago the last water ended, ``overdue_s`` how long the next pour has been
    due, ``bare`` whether the lift left nothing standing on the scale. A resting weight does not
    show when the bed has drained, so the rest must outlast a slow drain before it counts as the
    end: a brewer who lifts or presses the key is asked first.
    """
    if lift is not None:
        stay_s = LAST_LIFT_S if phase is Phase.DRAINING else BARE_S if bare else inf
        if lift.probability < SURE_LIFT:
            stay_s = UNANSWERED_S if bare else inf
        if t_s - lift.since_s >= stay_s:
            return lift.since_s, Ending.LIFTED
    if overdue_s >= LEFT_ALONE_S:
        return t_s - rested_s, Ending.LEFT
    if plan is None:
        done = phase is Phase.WAITING and rested_s >= PLANLESS_REST_S
    else:
        patient_s = plan.finish_s * (1.0 + SLOW_DRAINS * plan.limits.drain_share) + REST_S
        done = phase is Phase.DRAINING and rested_s >= REST_S and brew_s > patient_s
    return (t_s, Ending.RESTED) if done else None
