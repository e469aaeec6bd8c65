"""Where a skip in a replay leads: to a stage, or to what was found or marked."""

from pourcoach.domain.frame import Frame
from pourcoach.domain.units import Seconds
from pourcoach.session.protocols import Skip

# So long before it, that it is seen to come.
BEFORE_STAGE_S: Seconds = 1.0
BEFORE_FINDING_S: Seconds = 3.0
# Whoever goes back just after a skip means the one before, not the same again.
AGAIN_S: Seconds = 1.5


def skip_to(to: Skip, known: Frame | None, position_s: Seconds, duration_s: Seconds) -> Seconds:
    """The position on the tape that ``to`` leads to from ``position_s``.

    ``known`` is the Frame that knows most of the brew. Where there is nothing further on the
    position stays; where there is nothing before, it is the beginning.
    """
    match to:
        case Skip.BEGINNING:
            return 0.0
        case Skip.END:
            return duration_s
        case Skip.NEXT_STAGE | Skip.STAGE_BEFORE:
            places_s = _stages_s(known)
        case Skip.NEXT_FINDING | Skip.FINDING_BEFORE:
            places_s = _findings_s(known)
    if to in (Skip.NEXT_STAGE, Skip.NEXT_FINDING):
        return min((at_s for at_s in places_s if at_s > position_s), default=position_s)
    return max((at_s for at_s in places_s if at_s < position_s - AGAIN_S), default=0.0)


def _stages_s(known: Frame | None) -> list[Seconds]:
    stages = () if known is None else known.pour.stages
    return [max(0.0, stage.start_s - BEFORE_STAGE_S) for stage in stages]


def _findings_s(known: Frame | None) -> list[Seconds]:
    """Of flags, and of the brewer's own marks and notes."""
    if known is None:
        return []
    starts_s = [flag.start_s for flag in known.flags]
    starts_s += [moment.t_s for moment in known.moments]
    return [max(0.0, start_s - BEFORE_FINDING_S) for start_s in starts_s]
