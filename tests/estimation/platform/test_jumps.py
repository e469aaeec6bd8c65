"""What the level may have come to once a touch is over."""

import math

import pytest

from pourcoach.estimation.filter.filter_state import running_at, state_at
from pourcoach.estimation.platform.following import Moment
from pourcoach.estimation.platform.hypothesis import Hypothesis, TurnKind
from pourcoach.estimation.platform.jumps import Jumps
from pourcoach.estimation.platform.newest import Newest
from pourcoach.estimation.platform.scene import Scene

START = state_at(0, 40.0, 0.01, 0.001, 0.0)


def water_in(
    rose_g: float, *, lifted_g: float = 0.0, lasts_s: float = 2.0, rested_s: float = 5.0
) -> list[float]:
    """The water that may have come under a touch of so long, the weight so much higher after it,
    where it had rested for so long before."""
    ticks = round(1000 * lasts_s)
    jumps = Jumps(Newest(0, 40.0), Scene(lifted_g=lifted_g, rested_s=rested_s))
    now = Moment(ticks, 40.0 + rose_g, 0.0025, 0.1, False)
    found = list(jumps.rose(Hypothesis(0.0, True, 0, START, 0.0, 0.0), 0.0, now))
    assert {one.path.turn.kind for one in found if one.path} <= {TurnKind.WATER}
    return [one.path.turn.level_g for one in found if one.path]


def test_what_rose_under_a_hand_may_be_water() -> None:
    assert water_in(12.0) == [pytest.approx(52.0)]


@pytest.mark.parametrize("rose_g", [-1.0, 30.0])
def test_water_neither_leaves_nor_comes_faster_than_from_a_kettle(rose_g: float) -> None:
    """11 g/s at most, in two seconds, and half a gram of a doubt."""
    assert water_in(rose_g) == []
    assert water_in(20.0) != []


@pytest.mark.parametrize(("rested_s", "may"), [(0.2, True), (0.8, False)])
def test_a_rush_may_come_under_a_knock_that_seemed_to_stop_it(rested_s: float, may: bool) -> None:
    """20 g/s for no more than half a second: a knock that pulls hides the flow as it begins."""
    assert bool(water_in(6.9, lasts_s=0.35, rested_s=rested_s)) is may
    assert water_in(29.0, rested_s=rested_s) == []


def test_nobody_pours_where_something_has_just_been_taken_away() -> None:
    assert water_in(12.0, lifted_g=300.0) == []


@pytest.mark.parametrize(("change_g", "runs"), [(-14.0, True), (-16.0, False), (16.0, True)])
def test_what_is_poured_on_misses_a_scale_that_a_brewer_was_lifted_off(
    change_g: float, runs: bool
) -> None:
    """Of 15 g or more: else its account would be believed for how well the water that ran before
    fits whatever comes after it."""
    pouring = running_at(0, 100.0, 0.01, 0.0)._replace(pour_probability=0.9)
    jumps = Jumps(Newest(0, 100.0), Scene())
    now = Moment(100, 100.0 + change_g, 0.0025, 0.1, False)
    (one,) = jumps.moved(Hypothesis(0.0, True, 0, pouring, 0.0, 0.0), 0.0, now)
    assert (one.state.pour_probability > 0.5) is runs


def let_go(
    by_g: float, *, lasts_s: float = 2.0, poured: bool = False, leaves_g: float = 0.0
) -> float:
    """How probably, as a logarithm, a hand that pressed by so much has let go, unseen for so long,
    and left the weight so far off; ``poured``: what it leaves again came the way water does."""
    pressed = state_at(0, 40.0 + by_g, 0.01, 0.001, 0.0)
    scene = Scene(rests=((40.0, 0.0),), poured_from_g=40.0 if poured else -math.inf)
    jumps = Jumps(Newest(0, 40.0 + by_g), scene)
    now = Moment(round(1000 * lasts_s), 40.0 + leaves_g, 0.0025, 0.1, False)
    (one,) = jumps.fell(Hypothesis(0.0, True, 0, pressed, 0.0, 0.0), 0.0, now)
    return one.log_p


def test_a_hand_leaves_the_weight_just_where_it_had_rested_more_often_than_near_it() -> None:
    """Give or take a gram, and within a quarter of one half as often again: six grams that go to a
    tenth of a gram are a hand's rather than a thing's."""
    assert let_go(6.0) - let_go(6.0, leaves_g=0.8) == pytest.approx(1.35, abs=0.1)


def test_a_heavy_press_is_rarer_than_a_light_one() -> None:
    """Its weight is distributed exponentially, 25 g on average."""
    assert let_go(5.0) - let_go(30.0) == pytest.approx(25.0 / 25.0, abs=0.1)


@pytest.mark.parametrize(
    ("by_g", "lasts_s", "rarer"), [(60.0, 0.5, 1e4), (60.0, 0.7, 1.0), (14.0, 0.5, 1.0)]
)
def test_what_was_poured_and_goes_at_once_was_hardly_ever_a_hand(
    by_g: float, lasts_s: float, rarer: float
) -> None:
    """One in ten thousand, from 15 g and within 0.6 s: 60 g that came in for longer than anyone
    presses harder and harder, and are gone, are a thing that was taken away."""
    poured = let_go(by_g, lasts_s=lasts_s, poured=True)
    assert let_go(by_g, lasts_s=lasts_s) - poured == pytest.approx(math.log(rarer), abs=0.3)


@pytest.mark.parametrize(("passed_s", "by_g", "share"), [(0.2, 20.0, 8.4e-4), (0.1, 20.0, 8.8e-5)])
def test_a_hand_may_let_go_between_two_readings(passed_s: float, by_g: float, share: float) -> None:
    """0.15 times a second, of which a scale misses 0.26 and 0.055, a fifth come down, and a hand
    that pressed by 20 g is rarer by exp(0.8)."""
    pressed = state_at(0, by_g, 0.01, 0.001, 0.0)
    jumps = Jumps(Newest(0, by_g), Scene(rests=((0.0, 0.0),)))
    now = Moment(round(1000 * passed_s), 0.0, 0.0025, passed_s, False)
    (one,) = jumps.let_go(Hypothesis(0.0, False, 0, pressed, 0.0, 0.0), now)
    assert math.exp(one.log_p) == pytest.approx(share, rel=0.02)


@pytest.mark.parametrize(("passed_s", "to_g"), [(0.0125, 0.0), (0.2, 12.0)])
def test_a_fast_scale_sees_it_and_it_comes_down_to_where_it_rested(
    passed_s: float, to_g: float
) -> None:
    pressed = state_at(0, 20.0, 0.01, 0.001, 0.0)
    jumps = Jumps(Newest(0, 20.0), Scene(rests=((0.0, 0.0),)))
    now = Moment(round(1000 * passed_s), to_g, 0.0025, passed_s, False)
    assert not list(jumps.let_go(Hypothesis(0.0, False, 0, pressed, 0.0, 0.0), now))
