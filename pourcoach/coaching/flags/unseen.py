"""Water that came while no reading showed it: counted and reported, but not judged."""

from collections.abc import Sequence
from dataclasses import replace

from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.units import Grams

LEAST_G: Grams = 1.0
"""Less is not reported."""
_BY_TIME = frozenset((FlagKind.EARLY, FlagKind.LATE, FlagKind.BLOOM_SHORT, FlagKind.BLOOM_LONG))


def with_unseen(flags: Sequence[Flag], poured: Sequence[Poured]) -> list[Flag]:
    """Return the flags with the water that came in each gap, and without those of the beginning of
    a stage that began unseen."""
    pours = [pour for one in poured for pour in one.stage.pours if pour.unseen_g >= LEAST_G]
    if not pours:
        return list(flags)
    began_unseen = {one.stage.stage for one in poured if one.stage.pours[0].unseen_g >= LEAST_G}
    kept: list[Flag] = []
    for flag in flags:
        if flag.kind in _BY_TIME and flag.stage in began_unseen:
            continue
        if flag.kind is FlagKind.GAP:
            unseen_g = sum(
                pour.unseen_g
                for pour in pours
                if pour.start_s <= flag.end_s and (pour.end_s is None or flag.start_s <= pour.end_s)
            )
            if unseen_g:
                kept.append(replace(flag, evidence={**flag.evidence, "unseen_g": unseen_g}))
                continue
        kept.append(flag)
    return kept
