"""What may have been a hand is said to be open, and nothing that follows from it is surer."""

import pytest

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.hands import with_hands
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.pour import Pour, StagePour

BLOOM = Pour(10.0, 0.0, 14.0, 30.0)
POURED = (
    Poured(0, 0, StagePour("bloom", (BLOOM,), 0)),
    Poured(1, 1, StagePour("pour 1", (Pour(45.0, 30.0, 70.0, 170.0),), 1)),
)


def tare(went_g: float = 30.0, probability: float = 0.8, at_s: float = 15.0) -> PlatformEvent:
    return PlatformEvent(EventKind.SCALE_TARE, at_s, at_s, -went_g, probability=probability)


def flag(kind: FlagKind, start_s: float, stage: str) -> Flag:
    return Flag(kind, start_s, start_s + 2.0, stage, 0.9)


def test_it_is_a_disturbance_as_sure_as_that_the_scale_did_not_tare_itself() -> None:
    (found,) = with_hands([], [tare()], POURED)
    assert (found.kind, found.stage) == (FlagKind.DISTURBED, "bloom")
    assert (found.start_s, found.end_s) == (10.0, 15.0)
    assert found.confidence == pytest.approx(0.2)
    assert found.evidence["pressed_g"] == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("kind", "start_s", "stage", "confidence"),
    [
        (FlagKind.FAST_POUR, 10.0, "bloom", 0.72),
        (FlagKind.SHORT, 45.0, "pour 1", 0.72),
        (FlagKind.BLOOM_SHORT, 45.0, "pour 1", 0.72),
        (FlagKind.STALL, 50.0, "pour 1", 0.9),
        (FlagKind.GAP, 50.0, "pour 1", 0.9),
    ],
)
def test_what_goes_by_the_water_so_far_is_no_surer_than_that_it_was_water(
    kind: FlagKind, start_s: float, stage: str, confidence: float
) -> None:
    first, _ = with_hands([flag(kind, start_s, stage)], [tare()], POURED)
    assert first.confidence == pytest.approx(confidence)


@pytest.mark.parametrize(
    "event", [tare(probability=0.995), tare(went_g=34.0), tare(at_s=75.0)], ids=str
)
def test_a_sure_tare_another_weight_or_a_later_pour_changes_nothing(event: PlatformEvent) -> None:
    flags = [flag(FlagKind.FAST_POUR, 10.0, "bloom")]
    assert with_hands(flags, [event], POURED) == flags


def test_less_than_a_cup_shows_is_not_worth_it() -> None:
    spoon = (Poured(0, 0, StagePour("bloom", (Pour(10.0, 0.0, 12.0, 4.5),), 0)),)
    assert with_hands([], [tare(went_g=4.5)], spoon) == []
