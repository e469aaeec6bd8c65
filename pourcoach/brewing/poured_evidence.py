"""What a finished brew on the scale tells for dialling in."""

from pourcoach.brewing.evidence import Evidence, sure_faults
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Ending

# A weight that rests does not show when the bed has drained: only the brewer's own sign does.
_DRAINED = (Ending.LIFTED, Ending.KEY)


def evidence_of(
    frame: Frame,
    plan: Plan | None,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
) -> Evidence:
    """The pour's part of the evidence; taste, strength and what was changed are added to it.

    ``frame`` is the last of the brew, ``plan`` the one it began with. The brew's time counts
    only where the brewer lifted the dripper or pressed the key as it had drained, or the scale
    saw the drip end.
    """
    ending = frame.pour.ending
    drip_ended = ending is Ending.RESTED and arrangement is Arrangement.SERVER_ON_SCALE
    return Evidence(
        brew_s=frame.pour.brew_s if drip_ended or ending in _DRAINED else None,
        planned_s=None if plan is None else plan.finish_s,
        faults=sure_faults(frame.flags),
        risk=frame.risk.level,
        temperature_c=None if plan is None else plan.temperature_c,
    )
