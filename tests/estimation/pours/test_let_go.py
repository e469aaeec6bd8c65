"""A weight that falls was not all water, and one that rises again had not all been a hand."""

import math

import pytest

from pourcoach.domain.pour import Pour
from pourcoach.estimation.pours.let_go import LetGo
from pourcoach.estimation.pours.record import Record

BLOOM = Pour(start_s=5.0, start_g=0.0, end_s=13.0, end_g=40.0)


def record() -> Record:
    """Water of 5 g/s from 5 to 13 s."""
    made = Record()
    for tenth in range(300):
        made.append(tenth / 10, 5.0 * (min(max(tenth / 10, 5.0), 13.0) - 5.0))
    return made


def test_what_is_left_of_a_pour_is_judged_by_nobody() -> None:
    (left,) = LetGo(record()).fell([BLOOM], 20.0, 30.0)
    assert left.end_s == pytest.approx(11.1)
    assert (left.end_g, left.unseen_g, left.flow_cv) == (30.0, 30.0, None)


def test_a_pour_that_was_a_hand_is_none() -> None:
    assert LetGo(record()).fell([BLOOM], 20.0, 0.3) == []


def test_vapour_that_has_gone_since_the_end_was_no_hand() -> None:
    """A hot bed loses 0.05 g/s: 1.4 g in 25 s, when a hand that has pressed meanwhile lets go."""
    assert LetGo(record()).fell([BLOOM], 38.0, 38.6) == [BLOOM]
    (left,) = LetGo(record()).fell([BLOOM], 38.0, 37.5)
    assert left.end_g == 37.5


def test_a_hand_that_lets_go_in_two_steps_is_no_vapour() -> None:
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 33.0, 30.0)
    (left,) = let_go.fell(left, 33.4, 28.9)
    assert left.end_g == 28.9


def test_water_of_long_ago_stays() -> None:
    assert LetGo(record()).fell([BLOOM], 60.0, 30.0) == [BLOOM]


@pytest.mark.parametrize(
    "poured",
    [(), (Pour(start_s=22.0, start_g=34.0, end_s=24.0, end_g=40.0),)],
    ids=["seen by the level alone", "taken for a pour"],
)
def test_a_hand_that_pulled_leaves_the_pour_as_it_was(poured: tuple[Pour, ...]) -> None:
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 20.0, 34.0)
    assert let_go.rose([*left, *poured], 25.0, 40.2) == [BLOOM]


@pytest.mark.parametrize(("pulled_g", "pulled"), [(11.0, True), (13.0, False)])
def test_a_hand_pulls_no_more_than_twelve_grams(pulled_g: float, pulled: bool) -> None:
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 20.0, 40.0 - pulled_g)
    risen = let_go.rose([*left, Pour(22.0, 40.0 - pulled_g, 24.0, 40.0)], 25.0, 40.0)
    assert (risen == [BLOOM]) is pulled


def test_a_pull_long_after_the_water_takes_none_of_it_and_brings_none() -> None:
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 60.0, 33.0)
    assert left == [BLOOM]
    pulled = Pour(start_s=62.0, start_g=33.0, end_s=64.0, end_g=39.8)
    assert let_go.rose(left, 61.0, 35.0) == [BLOOM]
    assert let_go.rose([*left, pulled], 65.0, 39.8) == [BLOOM]


def test_a_hand_that_let_go_more_than_it_pulls_back_leaves_a_part() -> None:
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 20.0, 30.0)
    risen = let_go.rose(left, 25.0, 36.0)
    assert risen is not None
    assert [pour.end_g for pour in risen] == [36.0]


def test_two_falls_in_a_row_are_one() -> None:
    let_go = LetGo(record())
    left = let_go.fell(let_go.fell([BLOOM], 20.0, 36.0), 21.0, 33.0)
    assert let_go.rose(left, 25.0, 40.0) == [BLOOM]


@pytest.mark.parametrize(
    "poured",
    [
        Pour(start_s=22.0, start_g=20.0, end_s=26.0, end_g=40.0),
        Pour(start_s=22.0, start_g=34.0, end_s=26.0, end_g=45.0),
        Pour(start_s=55.0, start_g=34.0, end_s=56.0, end_g=40.0),
        Pour(start_s=22.0, start_g=34.0, end_s=24.0, end_g=40.0, unseen_g=6.0),
    ],
    ids=["too much", "beyond where it was", "too late", "seen by nobody"],
)
def test_water_that_is_poured_on_is_no_hand(poured: Pour) -> None:
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 20.0, poured.start_g)
    assert poured.end_s is not None
    assert poured.end_g is not None
    assert let_go.rose([*left, poured], poured.end_s + 1.0, poured.end_g) is None


def test_a_hand_that_presses_harder_than_before_brings_no_water_back() -> None:
    let_go = LetGo(record())
    assert let_go.fell([BLOOM], 20.0, 0.3) == []
    assert let_go.rose([], 40.0, 60.0) is None


def test_what_came_back_goes_again_however_long_ago_it_was() -> None:
    let_go = LetGo(record())
    assert let_go.fell([BLOOM], 20.0, 0.3) == []
    risen = let_go.rose([], 40.0, 30.0)
    assert risen is not None
    assert let_go.fell(risen, 45.0, 0.3) == []


def test_what_came_back_goes_again_step_by_step() -> None:
    """A hand that lets go slowly is seen to fall several times."""
    let_go = LetGo(record())
    pours = let_go.rose(let_go.fell([BLOOM], 20.0, 0.3), 45.0, 30.0)
    assert pours is not None
    for t_s, down_to_g in ((46.0, 25.0), (46.5, 12.0), (47.0, 0.3)):
        pours = let_go.fell(pours, t_s, down_to_g)
    assert pours == []


@pytest.mark.parametrize(
    ("begins_s", "from_g", "pours"),
    [(20.4, 0.0, 0), (20.4, 2.8, 1), (21.9, 0.0, 0), (22.1, 0.0, 1)],
    ids=["from below", "from where it fell to", "within two seconds", "later"],
)
def test_a_weight_fell_as_far_as_where_the_next_water_begins(
    begins_s: float, from_g: float, pours: int
) -> None:
    """The readings that show the fall have some of that water in them."""
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 20.0, 3.0)
    assert [pour.end_g for pour in left] == [3.0]
    assert len(let_go.began(left, Pour(start_s=begins_s, start_g=from_g))) == pours


def test_the_first_of_the_next_water_is_no_hand_that_had_pulled() -> None:
    """It brings the weight up again before it is noticed: that brings a press back for a moment."""
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 20.0, 0.0)
    risen = let_go.rose(left, 28.0, 1.6)
    assert risen is not None
    assert [pour.end_g for pour in risen] == [1.6]
    assert let_go.began(risen, Pour(start_s=27.6, start_g=0.0)) == []


def test_nothing_comes_back_that_a_hand_had_pressed() -> None:
    """Another that presses later is no water either."""
    let_go = LetGo(record())
    assert let_go.fell([BLOOM], 20.0, 0.3, math.inf) == []
    assert let_go.rose([], 40.0, 30.0) is None


def test_what_came_while_a_hand_pressed_was_the_hand_however_low_it_was() -> None:
    """It had pressed less and less, and for a moment harder."""
    tremor = Pour(start_s=17.0, start_g=39.0, end_s=18.0, end_g=41.5)
    assert LetGo(record()).fell([BLOOM, tremor], 20.0, 42.0, 18.0) == [BLOOM, tremor]
    assert LetGo(record()).fell([BLOOM, tremor], 20.0, 42.0, 15.0) == [BLOOM]


@pytest.mark.parametrize("pressed_s", [15.0, math.inf])
def test_what_a_hand_lets_sink_of_the_water_before_it_is_back_once_it_has_let_go(
    pressed_s: float,
) -> None:
    let_go = LetGo(record())
    left = let_go.fell([BLOOM], 18.0, 37.0)
    assert [pour.end_g for pour in left] == [37.0]
    assert let_go.fell(left, 20.0, 39.9, pressed_s) == [BLOOM]


def test_water_is_back_though_the_hand_seemed_to_pour_while_it_let_the_weight_sink() -> None:
    """A tremor under it was taken for a pour, and the weight fell again with that."""
    let_go = LetGo(record())
    (sunk,) = let_go.fell([BLOOM], 18.0, 37.0)
    tremor = Pour(start_s=18.5, start_g=37.5, end_s=19.0, end_g=41.0)
    left = let_go.fell([sunk, tremor], 19.5, 38.5)
    assert left[0] == sunk
    assert let_go.fell(left, 21.0, 39.9, 15.0) == [BLOOM]
