"""A brewer lifted in mid-brew and put back, reported as a lift and not as a touch."""

from collections.abc import Sequence
from itertools import pairwise

from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.units import Grams, Seconds

LEAST_LIFT_G: Grams = 20.0
"""A smaller drop is no lifted brewer: the lightest with a wet bed weigh several times that."""
SURE_LIFT = 0.9
"""A lift less sure than this may have been a tare by the scale's own button, and is noted as a
disturbance."""
SAME_SHARE = 0.1
"""What comes back within this share of what went is the same (assumed)."""
_TOO_LITTLE = (FlagKind.SHORT, FlagKind.BLOOM_LIGHT)
BEFORE_S: Seconds = 1.5
"""Signs of a touch so shortly before a lift belong to it."""
AFTER_S: Seconds = 2.5
"""Signs of a touch so shortly after a return belong to it: the platform swings for up to a second,
and the readings are clear at most 1.5 s later."""


def lifted_flags(
    events: Sequence[PlatformEvent], poured: Sequence[Poured], from_s: Seconds
) -> list[Flag]:
    """Return the flags of lifts that came back, in a brew that began at ``from_s``. A lift that did
    not come back is the end of the brew."""
    moved = [one for one in events if one.kind in (EventKind.LIFTED, EventKind.RETURNED)]
    return [
        _flag(lift, back, poured)
        for lift, back in pairwise(moved)
        if lift.kind is EventKind.LIFTED
        and back.kind is EventKind.RETURNED
        and lift.start_s > from_s
        and lift.change_g <= -LEAST_LIFT_G
        and lift.probability >= SURE_LIFT
    ]


def without_lifts(flags: Sequence[Flag], lifts: Sequence[Flag]) -> list[Flag]:
    """Return the flags without those of touches that were part of a lift."""
    return [
        flag
        for flag in flags
        if flag.kind is not FlagKind.DISTURBED
        or not any(
            lift.start_s - BEFORE_S <= flag.start_s and flag.end_s <= lift.end_s + AFTER_S
            for lift in lifts
        )
    ]


def judged_despite(
    flags: Sequence[Flag], lifts: Sequence[Flag], poured: Sequence[Poured]
) -> list[Flag]:
    """Return the flags without those of too little water in a stage during which the brewer was off
    the scale, since what was poured meanwhile may not have been weighed. Too much stays too
    much."""
    unweighed = {
        one.stage.stage
        for one in poured
        for lift in lifts
        if one.stage.start_s < lift.end_s
        and (one.stage.end_s is None or lift.start_s < one.stage.end_s)
    }
    return [flag for flag in flags if flag.kind not in _TOO_LITTLE or flag.stage not in unweighed]


def _confidence(lift: PlatformEvent, back: PlatformEvent) -> float:
    """Return how surely it was a lift: what was lifted comes back, and a tare does not."""
    same = abs(back.change_g + lift.change_g) <= SAME_SHARE * -lift.change_g
    return max(lift.probability, back.probability) if same else lift.probability


def _flag(lift: PlatformEvent, back: PlatformEvent, poured: Sequence[Poured]) -> Flag:
    end_s = back.start_s if back.end_s is None else back.end_s
    names = [one.stage.stage for one in poured if one.stage.start_s <= lift.start_s]
    return Flag(
        FlagKind.LIFTED,
        lift.start_s,
        end_s,
        names[-1] if names else None,
        _confidence(lift, back),
        {"lasted_s": end_s - lift.start_s, "down_g": -lift.change_g},
        refined=True,
    )
