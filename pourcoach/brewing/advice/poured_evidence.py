"""What a finished brew on the scale shows for dialling in."""

from pourcoach.brewing.advice.evidence import Evidence, sure_faults
from pourcoach.domain.advice import FlagKind
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
    saw the drip end. A brew that was cut short is at fault, whatever else it was: its cup says
    nothing of the coffee.
    """
    ending = frame.pour.ending
    drip_ended = ending is Ending.RESTED and arrangement is Arrangement.SERVER_ON_SCALE
    faults = sure_faults(frame.flags)
    weighed = arrangement is Arrangement.BREWER_ON_SCALE
    if weighed and plan is not None and plan.is_cut_short(frame.pour.water_g):
        faults |= {FlagKind.SHORT}
    return Evidence(
        brew_s=frame.pour.brew_s if drip_ended or ending in _DRAINED else None,
        planned_s=None if plan is None else plan.finish_s,
        faults=faults,
        risk=frame.risk.level,
        temperature_c=None if plan is None else plan.temperature_c,
    )
