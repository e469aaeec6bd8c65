"""A brewer lifted in mid-brew is reported as that."""

from dataclasses import replace

import pytest

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.lifted import judged_despite, lifted_flags, without_lifts
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.pour import Pour, StagePour
from pourcoach.wording import flag_sentence

POURED = (
    Poured(0, 0, StagePour("bloom", (Pour(5.0, 0.0, 13.0, 40.0),), 0)),
    Poured(1, 1, StagePour("pour 1", (Pour(40.0, 40.0),), 1)),
)
LIFT = PlatformEvent(EventKind.LIFTED, 50.0, 50.4, -380.0, 0.2, 0.99)
BACK = PlatformEvent(EventKind.RETURNED, 53.6, 54.0, 380.0, 0.2, 0.99)


def test_a_lift_in_mid_pour_says_how_long_and_how_much() -> None:
    (flag,) = lifted_flags((LIFT, BACK), POURED, 5.0)
    assert (flag.kind, flag.stage, flag.start_s, flag.end_s) == (
        *(FlagKind.LIFTED, "pour 1", 50.0, 54.0),
    )
    assert flag_sentence(flag).startswith(
        "The brewer was lifted for 4.0 s in pour 1: 380 g went and came back."
    )


def test_a_lift_that_is_not_put_back_is_the_end_and_no_flag() -> None:
    assert lifted_flags((LIFT,), POURED, 5.0) == []


def test_what_was_lifted_before_the_first_water_is_no_matter() -> None:
    assert lifted_flags((LIFT, BACK), POURED, 60.0) == []


def test_a_drop_that_may_have_been_a_tare_is_not_said_to_be_a_lift() -> None:
    doubtful = PlatformEvent(EventKind.LIFTED, 50.0, 50.4, -380.0, 0.2, 0.85)
    assert lifted_flags((doubtful, BACK), POURED, 5.0) == []


@pytest.mark.parametrize(("down_g", "lifted"), [(19.0, False), (21.0, True)])
def test_what_is_lighter_than_a_brewer_is_none(down_g: float, lifted: bool) -> None:
    went, back = replace(LIFT, change_g=-down_g), replace(BACK, change_g=down_g)
    assert bool(lifted_flags((went, back), POURED, 5.0)) is lifted


@pytest.mark.parametrize(
    ("back_g", "sure"), [(379.0, 0.99), (350.0, 0.99), (340.0, 0.95), (200.0, 0.95)]
)
def test_a_lift_is_as_sure_as_the_return_of_the_same_weight(back_g: float, sure: float) -> None:
    lift = PlatformEvent(EventKind.LIFTED, 50.0, 50.4, -380.0, 0.2, 0.95)
    back = PlatformEvent(EventKind.RETURNED, 53.6, 54.0, back_g, 0.2, 0.99)
    (flag,) = lifted_flags((lift, back), POURED, 5.0)
    assert flag.confidence == sure


@pytest.mark.parametrize("clear_s", [54.6, 56.2])
def test_the_blow_of_setting_it_down_is_not_reported_beside_it(clear_s: float) -> None:
    lifts = lifted_flags((LIFT, BACK), POURED, 5.0)
    evidence = {"lasted_s": clear_s - 50.0, "jump_g": 0.0}
    blow = Flag(FlagKind.DISTURBED, 50.0, clear_s, "pour 1", 0.95, evidence)
    other = Flag(FlagKind.DISTURBED, 70.0, 70.4, "pour 1", 0.95, {"lasted_s": 0.4, "jump_g": 0.0})
    assert without_lifts([blow, other], lifts) == [other]


@pytest.mark.parametrize(("before_s", "part"), [(1.4, True), (1.6, False)])
def test_a_hand_at_the_brewer_just_before_it_is_lifted_is_part_of_that(
    before_s: float, part: bool
) -> None:
    lifts = lifted_flags((LIFT, BACK), POURED, 5.0)
    evidence = {"lasted_s": 0.3, "jump_g": 0.0}
    start_s = 50.0 - before_s
    touch = Flag(FlagKind.DISTURBED, start_s, start_s + 0.3, "pour 1", 0.95, evidence)
    assert (without_lifts([touch], lifts) == []) is part


def test_too_little_in_a_stage_that_was_poured_meanwhile_is_not_judged() -> None:
    """What was not weighed can only add to it."""
    lifts = lifted_flags((LIFT, BACK), POURED, 5.0)
    short = Flag(FlagKind.SHORT, 40.0, 60.0, "pour 1", 0.99, {"off_g": -12.0}, True)
    light = Flag(FlagKind.BLOOM_LIGHT, 5.0, 13.0, "bloom", 0.99, {"off_g": -12.0}, True)
    over = Flag(FlagKind.OVERSHOOT, 40.0, 60.0, "pour 1", 0.99, {"off_g": 12.0}, True)
    assert judged_despite([short, light, over], lifts, POURED) == [light, over]
