"""What a whole record shows that was not known in the course of it."""

from dataclasses import replace

import pytest

from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Pour
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.hindsight import (
    Hindsight,
    hands_among,
    is_doubtful,
    same_path,
    tares_among,
)
from pourcoach.estimation.noise.traits import LearntTraits, TraitsLearner

GONE = PlatformEvent(EventKind.LIFTED, 3.0, 3.2, -400.0, to_zero=True)
BLOOM = Pour(start_s=9.0, start_g=389.0, end_s=15.0, end_g=419.0)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, (3.0,)),
        ({"to_zero": False}, ()),
        ({"kind": EventKind.PLACED}, ()),
    ],
)
def test_a_lift_to_zero_was_a_tare_if_water_was_poured_on(
    change: dict[str, object], expected: tuple[float, ...]
) -> None:
    assert tares_among([replace(GONE, **change)], [], [BLOOM]) == expected


@pytest.mark.parametrize(("commanded_s", "expected"), [([3.0], (3.0,)), ([2.0], ())])
def test_one_beside_zero_was_a_tare_if_that_had_been_commanded(
    commanded_s: list[float], expected: tuple[float, ...]
) -> None:
    beside = replace(GONE, to_zero=False)
    assert tares_among([beside], commanded_s, [BLOOM]) == expected


@pytest.mark.parametrize(
    ("pour", "expected"),
    [
        (BLOOM, (3.0,)),
        (replace(BLOOM, end_g=394.0), ()),  # What drips off a brewer that is held.
        (replace(BLOOM, start_s=4.0), ()),
        (replace(BLOOM, end_s=None, end_g=None), ()),
    ],
)
def test_what_drips_is_not_poured_on(pour: Pour, expected: tuple[float, ...]) -> None:
    assert tares_among([GONE], [], [pour]) == expected


@pytest.mark.parametrize(
    ("back_g", "expected"), [(19.0, (3.0,)), (21.0, ()), (400.0, ()), (-15.0, (3.0,))]
)
def test_what_was_put_back_had_been_lifted(back_g: float, expected: tuple[float, ...]) -> None:
    back = PlatformEvent(EventKind.PLACED, 6.0, 6.5, back_g)
    assert tares_among([GONE, back], [], [BLOOM]) == expected


def test_a_hand_that_pressed_meanwhile_puts_nothing_back() -> None:
    pressed = PlatformEvent(EventKind.PLACED, 33.0, 33.5, 45.0)
    let_go = PlatformEvent(EventKind.LIFTED, 38.0, 38.5, -45.0)
    assert tares_among([GONE, pressed, let_go], [], [BLOOM]) == (3.0,)


def test_a_load_too_light_for_a_brewer_was_a_hand() -> None:
    assert tares_among([replace(GONE, change_g=-49.0)], [], [BLOOM]) == ()
    assert tares_among([replace(GONE, change_g=-51.0)], [], [BLOOM]) == (3.0,)


@pytest.mark.parametrize(
    ("start_s", "end_s", "kept", "light"),
    [
        (11.0, 14.5, True, True),
        (11.0, 15.5, False, True),  # A hand seldom presses harder and harder for so long.
        (11.0, 20.5, False, True),
        (11.0, 21.5, False, False),  # And never for so long.
        (11.0, None, False, False),
        (4.0, 10.5, True, True),  # It had ended.
        (29.0, 40.0, True, True),
    ],
)
@pytest.mark.parametrize("moved_g", [-61.0, -59.0])
def test_a_stretch_in_which_water_ran_for_long_left_something(
    start_s: float, end_s: float | None, kept: bool, light: bool, moved_g: float
) -> None:
    """For four seconds where something heavier was moved than any hand presses, as a vessel that is
    rinsed and put back empty; else for ten."""
    pour = Pour(start_s=start_s, start_g=0.0, end_s=end_s, end_g=20.0 if end_s else None)
    moved = PlatformEvent(EventKind.LIFTED, 25.0, 25.3, moved_g)
    expected = kept if moved_g < -60.0 else light
    found = hands_among([(10.0, 30.0)], [moved], [pour])
    assert found == (((10.0, 30.0),) if expected else ())


def test_what_was_moved_before_or_after_a_stretch_is_none_of_it() -> None:
    pour = Pour(start_s=11.0, start_g=0.0, end_s=16.0, end_g=20.0)
    moved = [PlatformEvent(EventKind.LIFTED, at_s, at_s, -300.0) for at_s in (9.0, 31.0)]
    assert hands_among([(10.0, 30.0)], moved, [pour]) == ((10.0, 30.0),)


def test_a_moment_lies_in_a_stretch_between_its_rests() -> None:
    known = Hindsight(LearntTraits(TraitsLearner()), 0.0, (), ((10.0, 30.0),))
    assert known.left_nothing(10.1, 10.1)
    assert known.left_nothing(29.9, 31.0)
    assert not known.left_nothing(10.0, 10.0)
    assert not known.left_nothing(30.0, 35.0)


def test_the_same_event_may_begin_a_little_later_the_second_time() -> None:
    hindsight = Hindsight(LearntTraits(TraitsLearner()), 0.0, (3.0,))
    assert hindsight.was_tare(3.9)
    assert not hindsight.was_tare(4.1)


def test_nothing_is_learnt_of_a_scale_that_is_known() -> None:
    learner = TraitsLearner()
    for number in range(40):
        learner.see(0.1 * (number % 3))
        learner.rest([(0.2 if number % 2 else -0.2, 0.0)])
    learnt = LearntTraits(learner)
    assert (learnt.noise_var, learnt.scale_noise) == (learner.noise_var, learner.scale_noise)
    before = learnt.traits(0.1)
    for _ in range(100):
        learnt.see(0.013)
        learnt.rest([(5.0, 0.0), (-5.0, 0.0)])
    assert learnt.traits(0.1) == before
    assert learnt.noise_var == learner.noise_var


def test_a_path_is_the_same_give_or_take_its_noise() -> None:
    estimator = Estimator()
    for number in range(20):
        estimate = estimator.feed(Reading(number / 10, 0.0))
    one = estimate._replace(events=(GONE,), pours=(BLOOM,))
    assert same_path(one, one._replace(events=(replace(GONE, change_g=-400.9),)))
    assert same_path(one, one._replace(pours=(replace(BLOOM, end_g=419.9),)))
    for other in (
        one._replace(events=()),
        one._replace(events=(replace(GONE, kind=EventKind.SCALE_TARE),)),
        one._replace(events=(replace(GONE, change_g=-401.1),)),
        one._replace(pours=()),
        one._replace(pours=(replace(BLOOM, end_g=420.1),)),
    ):
        assert not same_path(one, other)


@pytest.mark.parametrize(("probability", "expected"), [(0.96, False), (0.94, True), (0.77, True)])
def test_a_path_less_certain_than_the_other_is_doubtful(probability: float, expected: bool) -> None:
    estimator = Estimator()
    for number in range(20):
        estimate = estimator.feed(Reading(number / 10, 0.0))
    sure = estimate._replace(events=(GONE,))
    other = estimate._replace(events=(replace(GONE, probability=probability),))
    assert is_doubtful(other, sure) is expected
    assert not is_doubtful(sure, other)


@pytest.mark.parametrize(("beside", "expected"), [(0.92, False), (0.88, True)])
def test_where_much_was_left_open_only_a_surer_path_is_believed(
    beside: float, expected: bool
) -> None:
    """A press was taken out and asked about, and the second pass counted it as nearly as likely."""
    estimator = Estimator()
    for number in range(20):
        estimate = estimator.feed(Reading(number / 10, 0.0))
    open_ = estimate._replace(events=(replace(GONE, probability=beside),))
    other = estimate._replace(events=(replace(GONE, probability=beside - 0.02),))
    assert is_doubtful(other, open_) is expected
    assert not is_doubtful(open_, other)


@pytest.mark.parametrize(("probability", "expected"), [(1.0, True), (0.96, True), (0.94, False)])
def test_of_paths_as_certain_the_one_that_tells_less_of_its_pours_is_doubtful(
    probability: float, expected: bool
) -> None:
    """A press was taken for less than it was, and cut the water of the pour before it."""
    estimator = Estimator()
    for number in range(20):
        estimate = estimator.feed(Reading(number / 10, 0.0))
    event = replace(GONE, probability=probability)
    known = estimate._replace(events=(event,), pours=(replace(BLOOM, mass_error_g=0.1),))
    unknown = estimate._replace(events=(GONE,), pours=(BLOOM,))
    assert is_doubtful(unknown, known) is expected
    assert is_doubtful(known, unknown) is not expected


@pytest.mark.parametrize(("later_s", "tares"), [(1.6, ()), (2.5, (10.0,))])
def test_what_comes_as_a_brewer_is_lifted_drips(later_s: float, tares: tuple[float, ...]) -> None:
    """Two seconds later nothing does: then it was poured, into what had never left."""
    lift = PlatformEvent(EventKind.LIFTED, 10.0, 10.2, -300.0, to_zero=True)
    pour = Pour(10.0 + later_s, 0.0, 16.0, 20.0)
    assert tares_among([lift], (), [pour]) == tares
