"""Water that came while no reading showed it: counted and reported, but not judged."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import inf

from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds

LEAST_G: Grams = 1.0
"""Less is not reported."""
SLOWEST_SHARE = 0.5
"""Share of a pour's own flow: unseen water is taken to have run at least this fast, unless readings
were missing for long."""
NEAR_S: Seconds = 2.0
"""The longest time from the end of a gap to the first water seen after it."""
_BY_TIME = frozenset((FlagKind.EARLY, FlagKind.LATE, FlagKind.BLOOM_SHORT, FlagKind.BLOOM_LONG))
_BY_WATER = frozenset(
    (FlagKind.SHORT, FlagKind.OVERSHOOT, FlagKind.BLOOM_LIGHT, FlagKind.BLOOM_HEAVY)
)


def with_unseen(flags: Sequence[Flag], poured: Sequence[Poured]) -> list[Flag]:
    """Return the flags with the water that came in each gap, and without those of the beginning of
    a stage that began unseen, so that the readings do not show its start, and without those of
    where one ended in a gap in which the next began, if the water in it may have been the other's.
    """
    pours = [pour for one in poured for pour in one.stage.pours if pour.unseen_g >= LEAST_G]
    if not pours:
        return list(flags)
    began_unseen = {
        one.stage.stage: _may_be_off_s(one.stage.pours[0], flags)
        for one in poured
        if one.stage.pours[0].unseen_g >= LEAST_G and one.stage.pours[0].start_error_s is None
    }
    shared_g = {
        one.stage.stage: min(one.stage.pours[-1].unseen_g, after.stage.pours[0].unseen_g)
        for one, after in pairwise(poured)
        if _in_one_gap(one.stage.pours[-1], after.stage.pours[0], flags)
    }
    kept: list[Flag] = []
    for flag in flags:
        if flag.kind in _BY_WATER and flag.stage in shared_g:
            beyond_g = abs(flag.evidence["off_g"]) - flag.evidence["allowed_g"]
            if beyond_g > shared_g[flag.stage]:
                kept.append(flag)
            continue
        if flag.kind in _BY_TIME and flag.stage in began_unseen:
            off_s = abs(flag.evidence["off_s"])
            if off_s - flag.evidence.get("allowed_s", off_s) > began_unseen[flag.stage]:
                kept.append(flag)
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


def _in_one_gap(ended: Pour, begun: Pour, flags: Sequence[Flag]) -> bool:
    """Whether the one pour ended, and the next began, in one gap."""
    return any(
        flag.kind is FlagKind.GAP
        and ended.end_s is not None
        and flag.start_s <= ended.end_s
        and begun.start_s <= flag.end_s + NEAR_S
        for flag in flags
    )


def _may_be_off_s(pour: Pour, flags: Sequence[Flag]) -> Seconds:
    """Return how much earlier than it seems a pour that began unseen may have begun."""
    in_gap = any(
        flag.kind is FlagKind.GAP and flag.start_s <= pour.start_s <= flag.end_s + NEAR_S
        for flag in flags
    )
    if in_gap or not pour.mean_flow_gps:
        return inf
    return pour.unseen_g / (SLOWEST_SHARE * pour.mean_flow_gps)
