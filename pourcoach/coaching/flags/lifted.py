"""A brewer lifted in mid-brew and put back: reported as that, and not as a touch."""

from collections.abc import Sequence
from itertools import pairwise

from pourcoach.coaching.course.stages import Poured
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.units import Grams, Seconds

LEAST_LIFT_G: Grams = 20.0
"""A smaller drop is no brewer taken away: the lightest with a wet bed weigh several times that."""
SURE_LIFT = 0.9
"""One that may as well have been a tare by the scale's own button is noted as a disturbance."""
_LANDINGS = frozenset(
    (FlagKind.SHORT, FlagKind.OVERSHOOT, FlagKind.BLOOM_LIGHT, FlagKind.BLOOM_HEAVY)
)
BEFORE_S: Seconds = 1.5
"""Signs of a touch so shortly before a lift belong to it: the hand that takes hold."""
AFTER_S: Seconds = 2.5
"""And so shortly after a return: the blow of setting down swings for up to a second, and what the
readings are is clear at most 1.5 s later."""


def lifted_flags(
    events: Sequence[PlatformEvent], poured: Sequence[Poured], from_s: Seconds
) -> list[Flag]:
    """The lifts of a brew that began at ``from_s`` and what came back; one that did not come back
    is the brew's end.
    """
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
    """The flags without those of touches that were part of a lift."""
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
    """The flags without those of where a stage landed that was poured while the brewer was off the
    scale: what ran meanwhile nobody weighed.
    """
    unweighed = {
        one.stage.stage
        for one in poured
        for lift in lifts
        if one.stage.start_s < lift.end_s
        and (one.stage.end_s is None or lift.start_s < one.stage.end_s)
    }
    return [flag for flag in flags if flag.kind not in _LANDINGS or flag.stage not in unweighed]


def _flag(lift: PlatformEvent, back: PlatformEvent, poured: Sequence[Poured]) -> Flag:
    end_s = back.start_s if back.end_s is None else back.end_s
    names = [one.stage.stage for one in poured if one.stage.start_s <= lift.start_s]
    return Flag(
        FlagKind.LIFTED,
        lift.start_s,
        end_s,
        names[-1] if names else None,
        lift.probability,
        {"lasted_s": end_s - lift.start_s, "down_g": -lift.change_g},
        refined=True,
    )
