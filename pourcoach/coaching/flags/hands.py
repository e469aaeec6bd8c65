"""Water that may have been a hand, since as much went at once: said to be open, and what follows
from it is no surer than that it was water."""

from collections.abc import Sequence
from dataclasses import replace

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.platform.doubts import LEAST_LOSS_G, may_be_hands
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import PlatformEvent
from pourcoach.domain.pour import StagePour

_OF_THE_SCALE = frozenset((FlagKind.LIFTED, FlagKind.DISTURBED, FlagKind.GAP))
_OF_ONE_POUR = frozenset(
    (
        FlagKind.STALL,
        FlagKind.SURGE,
        FlagKind.UNEVEN,
        FlagKind.FAST_POUR,
        FlagKind.SLOW_POUR,
    )
)
"""By its own flow alone: the others go by the water before it, or by when the first came."""


def with_hands(
    flags: Sequence[Flag], events: Sequence[PlatformEvent], poured: Sequence[Poured]
) -> list[Flag]:
    """Return the flags with a disturbance for each pour that may have been a hand, and with less
    confidence in those of its stage, and of later ones that go by the water so far."""
    made = list(flags)
    stages = {pour: one.stage for one in poured for pour in one.stage.pours}
    for tare, pour in may_be_hands(events, list(stages)):
        if tare.change_g > -LEAST_LOSS_G:
            continue
        stage = stages[pour]
        made = [_if_water(flag, stage, tare.probability) for flag in made]
        lasted_s = tare.start_s - pour.start_s
        evidence = {"lasted_s": lasted_s, "jump_g": 0.0, "pressed_g": -tare.change_g}
        made.append(
            Flag(
                FlagKind.DISTURBED,
                pour.start_s,
                tare.start_s,
                stage.stage,
                1.0 - tare.probability,
                evidence,
                refined=pour.refined,
            )
        )
    return made


def _if_water(flag: Flag, doubted: StagePour, probability: float) -> Flag:
    """The flag, no surer than that what came in the ``doubted`` stage was water."""
    later = flag.start_s > doubted.start_s and flag.kind not in _OF_ONE_POUR
    if flag.kind in _OF_THE_SCALE or not (flag.stage == doubted.stage or later):
        return flag
    return replace(flag, confidence=flag.confidence * probability)
