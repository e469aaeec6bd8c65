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
_TOO_SOON = frozenset((FlagKind.EARLY, FlagKind.BLOOM_SHORT))
_BY_TIME = _TOO_SOON | {FlagKind.LATE, FlagKind.BLOOM_LONG}
_BY_WATER = frozenset(
    (FlagKind.SHORT, FlagKind.OVERSHOOT, FlagKind.BLOOM_LIGHT, FlagKind.BLOOM_HEAVY)
)


def with_unseen(flags: Sequence[Flag], poured: Sequence[Poured]) -> list[Flag]:
    """Return the flags with the water that came in each gap, and without those of the beginning of
    a stage that began unseen, so that the readings do not show its start, or that is off its time
    by no more than the brew's own beginning may be, and without those of where one ended in a gap
    in which the next began, if the water in it may have been the other's."""
    pours = [pour for one in poured for pour in one.stage.pours if pour.unseen_g >= LEAST_G]
    if not pours:
        return list(flags)
    began_unseen: dict[str | None, Seconds] = {
        one.stage.stage: _may_be_off_s(one.stage.pours[0], flags)
        for one in poured
        if one.stage.pours[0].unseen_g >= LEAST_G and one.stage.pours[0].start_error_s is None
    }
    shared_g: dict[str | None, Grams] = {
        one.stage.stage: min(one.stage.pours[-1].unseen_g, after.stage.pours[0].unseen_g)
        for one, after in pairwise(poured)
        if _in_one_gap(one.stage.pours[-1], after.stage.pours[0], flags)
    }
    first = poured[0].stage
    kept: list[Flag] = []
    for flag in flags:
        may_be = 0.0
        if flag.kind in _BY_WATER:
            may_be = shared_g.get(flag.stage, 0.0)
        elif flag.kind in _BY_TIME:
            may_be = began_unseen.get(flag.stage, 0.0)
            if first.stage in began_unseen:
                may_be += _brew_off_s(first.pours[0], flags, flag.kind in _TOO_SOON)
        if not may_be or _beyond_allowed(flag) > may_be:
            kept.append(_with_water(flag, pours) if flag.kind is FlagKind.GAP else flag)
    return kept


def _beyond_allowed(flag: Flag) -> float:
    """By how much a stage was off its mark or its time, more than it may be."""
    unit = "g" if flag.kind in _BY_WATER else "s"
    off = abs(flag.evidence[f"off_{unit}"])
    return off - flag.evidence.get(f"allowed_{unit}", off)


def _with_water(gap: Flag, pours: Sequence[Pour]) -> Flag:
    """The gap with the water of these pours that came in it."""
    unseen_g = sum(
        pour.unseen_g
        for pour in pours
        if pour.start_s <= gap.end_s and (pour.end_s is None or gap.start_s <= pour.end_s)
    )
    return replace(gap, evidence={**gap.evidence, "unseen_g": unseen_g}) if unseen_g else gap


def _in_one_gap(ended: Pour, begun: Pour, flags: Sequence[Flag]) -> bool:
    """Whether the one pour ended, and the next began, in one gap."""
    return any(
        flag.kind is FlagKind.GAP
        and ended.end_s is not None
        and flag.start_s <= ended.end_s
        and begun.start_s <= flag.end_s + NEAR_S
        for flag in flags
    )


def _brew_off_s(first: Pour, flags: Sequence[Flag], earlier: bool) -> Seconds:
    """How much earlier than it seems, or else later, a brew may have begun whose first pour began
    unseen."""
    gap = next((one for one in flags if _begins_in(first, one)), None)
    if gap is None:
        return _may_be_off_s(first, flags) if earlier else 0.0
    return max(0.0, first.start_s - gap.start_s if earlier else gap.end_s - first.start_s)


def _begins_in(pour: Pour, flag: Flag) -> bool:
    within = flag.start_s <= pour.start_s <= flag.end_s + NEAR_S
    return flag.kind is FlagKind.GAP and within


def _may_be_off_s(pour: Pour, flags: Sequence[Flag]) -> Seconds:
    """Return how much earlier than it seems a pour that began unseen may have begun."""
    if any(_begins_in(pour, flag) for flag in flags) or not pour.mean_flow_gps:
        return inf
    return pour.unseen_g / (SLOWEST_SHARE * pour.mean_flow_gps)
