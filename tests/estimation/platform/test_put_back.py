"""What comes back on a platform on which something else has been set down meanwhile."""

import pytest

from pourcoach.estimation.filter.filter_state import state_at
from pourcoach.estimation.platform.following import Following, Moment
from pourcoach.estimation.platform.hypothesis import Hypothesis
from pourcoach.estimation.platform.put_back import PutBack
from pourcoach.estimation.platform.scene import Away, Scene
from tests.estimation.platform.handled import WATER_G, all_found, followed, push, step


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("knock_g", [-7.0, 7.0])
def test_what_is_back_beside_another_thing_does_not_come_back_once_more(
    rate_hz: float, knock_g: float
) -> None:
    lifted, beside, back = step(20.0, -360.0), step(23.0, 159.0), step(25.5, 359.6)
    estimate = followed(rate_hz, lifted, beside, back, push(44.0, 0.2, 0.3, 0.2, knock_g))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.5)
    assert sum(event.change_g for event in estimate.events) == pytest.approx(159.0, abs=1.5)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("beside_g", [20.0, 60.0])
def test_a_thing_set_down_while_the_brewer_is_off_is_no_water_when_it_is_back(
    rate_hz: float, beside_g: float
) -> None:
    lifted, beside, back = step(20.0, -360.0), step(24.0, beside_g), step(28.0, 360.0)
    estimate = followed(rate_hz, lifted, beside, back)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert sum(event.change_g for event in estimate.events) == pytest.approx(beside_g, abs=1.5)


@pytest.mark.parametrize(
    ("rate_hz", "first_g", "second_g", "third_g"),
    [(10.0, 20.0, 30.0, 15.0), (40.0, 20.0, 20.0, 25.0), (40.0, 35.0, 30.0, 15.0)],
)
def test_what_several_hands_left_is_gone_once_it_rests_where_it_did_before_them(
    rate_hz: float, first_g: float, second_g: float, third_g: float
) -> None:
    hands = (
        push(22.0, 1.0, 3.0, 0.8, first_g),
        push(25.5, 0.6, 1.5, 0.5, second_g),
        push(27.0, 1.0, 3.0, 1.0, third_g),
    )
    estimate = followed(rate_hz, *hands)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
def test_what_the_scale_tared_away_does_not_come_back(rate_hz: float) -> None:
    """Another thing brings the reading to about where the load was before the tare."""
    load, tare, thing = step(-1.0, 300.0), step(2.0, -300.0), step(25.0, 250.0)
    estimate = followed(rate_hz, load, tare, thing)
    assert [event.change_g for event in estimate.events] == pytest.approx([-300.0, 250.0], abs=1.5)
    assert [pour.mass_g for pour in estimate.pours] == pytest.approx([40.0, 40.0], abs=1.0)


STANDS_G, BREWER_G = 340.0, 300.0


def lifted(back_g: float = 0.0) -> tuple[PutBack, Hypothesis]:
    """A brewer that was lifted two seconds ago, of which so much has come back since."""
    start = state_at(0, STANDS_G, 0.01, 0.001, 0.0)
    away = Away(0.0, -BREWER_G, -2.0, STANDS_G)
    shift_g = BREWER_G - back_g
    scene = Scene(away=(away,), lifted_g=shift_g, rested_s=2.0)
    put_back = PutBack(start, STANDS_G, shift_g, scene, Following(start))
    return put_back, Hypothesis(0.0, True, 0, start, shift_g, 0.0)


@pytest.mark.parametrize(("back_g", "may"), [(140.0, True), (160.0, False)])
def test_of_what_has_come_back_by_more_than_half_nothing_is_still_away(
    back_g: float, may: bool
) -> None:
    put_back, one = lifted(back_g)
    assert put_back.may_be_back(one, Moment(500, STANDS_G, 0.0025, 0.1, False)) is may


@pytest.mark.parametrize(("gained_g", "poured"), [(3.0, False), (4.0, True)])
def test_what_a_brewer_gains_beyond_a_few_drops_may_have_been_poured(
    gained_g: float, poured: bool
) -> None:
    put_back, one = lifted()
    now = Moment(500, STANDS_G + gained_g, 0.0025, 0.1, False)
    turns = [again.path.turn for again in put_back.returned(one, 0.0, now) if again.path]
    assert any(turn.water_g for turn in turns) is poured


@pytest.mark.parametrize(("carried_g", "gone"), [(0.0, False), (4.0, True)])
def test_water_that_seemed_to_run_on_under_a_hand_had_stopped_before(
    carried_g: float, gone: bool
) -> None:
    """Once it has let go the weight is lower than it was taken to be when it came."""
    hand_g, seen_g = 20.0, 300.0
    start = state_at(0, seen_g + 4.0, 0.01, 0.001, 0.0)
    hand = Away(0.0, hand_g, -2.0, seen_g + 4.0, pouring=True, carried_g=carried_g)
    put_back = PutBack(start, seen_g + 4.0, -hand_g, Scene(away=(hand,)), Following(start))
    one = Hypothesis(0.0, True, 0, start, -hand_g, 0.0)
    now = Moment(500, seen_g, 0.0025, 0.1, False)
    found = [again for again in put_back.returned(one, 0.0, now) if again.path]
    assert (max(again.log_p for again in found) > -3.0) is gone
