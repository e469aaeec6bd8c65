"""What the brewer is asked now because the readings leave it open."""

from pourcoach.coaching.platform.arming import Arming
from pourcoach.coaching.platform.doubts import Doubts
from pourcoach.coaching.platform.first_rise import UntaredRise, is_the_dose
from pourcoach.coaching.platform.lifts import StandingLift
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, Question, StagePour
from pourcoach.domain.units import Grams, Seconds

SWIRLED_S: Seconds = 10.0
"""In a wait a brewer is lifted to swirl the bed, and put back sooner than this: common practice."""
ANSWER_S: Seconds = 8.0
"""When the next pour has come due, POUR is said for so long before a lift is asked about again."""


def asked(
    t_s: Seconds,
    *,
    phase: Phase,
    plan: Plan | None,
    first: StagePour | None,
    running: bool,
    arming: Arming,
    untared: UntaredRise,
    lift: StandingLift | None,
    doubts: Doubts,
    overdue_s: Seconds,
) -> tuple[Question | None, Grams | None]:
    """Return the question and the weight it is about; None for both where nothing is asked.

    ``first`` is the first stage while it is the only one; ``running``: whether the newest stage's
    water runs; ``overdue_s``: how long the next pour has been due, 0 before that.
    """
    gain = doubts.gain if doubts.asks else None
    if phase is Phase.READY and gain is not None:
        return Question.LOST, gain.grams  # All the water that there was.
    if phase is Phase.READY:
        rise = None if arming.armed else untared.now
        if rise is None:
            return None, None
        return Question.UNTARED_WATER if rise.is_water else None, rise.by_g
    if phase is Phase.DONE or (phase is Phase.DRAINING and gain is None):
        return None, None
    if lift is not None and not running and phase is not Phase.DRAINING:
        # Nobody pours on where the brewer was: then it was none, and STOP must be seen.
        if doubts.may_be_a_tare(lift):
            return Question.LIFT_OR_TARE, lift.down_g
        stays = t_s - lift.since_s >= SWIRLED_S and not 0.0 < overdue_s <= ANSWER_S
        if phase is Phase.POURING or stays:
            return Question.LIFTED, lift.down_g
    if gain is not None:
        return Question.LOST if gain.lost else Question.GAIN, gain.grams
    if first is not None and not running and doubts.may_be_a_hand((first,), t_s):
        return Question.HAND, first.mass_g
    dosed = phase is Phase.POURING and plan is not None and first is not None
    if dosed and plan and first and not arming.by_key and is_the_dose(first, plan, t_s):
        return Question.COFFEE, first.mass_g
    return None, None
