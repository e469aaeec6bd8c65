"""What the platform may come back to."""

import pytest

from pourcoach.estimation.platform.scene import Away, Scene, SceneKeeper

# Written out: what is imported would hold whatever it is.
LETS_GO_S, LOADED_G = 30.0, 50.0


def test_a_rest_is_one_level_until_it_is_another_and_is_forgotten_in_time() -> None:
    keeper = SceneKeeper(0.0)
    for t_s, level_g in ((1.0, 0.0), (2.0, 0.1), (5.0, 40.0), (6.0, 40.2)):
        keeper.rested(t_s, level_g, 0.0)
    assert keeper.now(7.0, 0.0).rests == ((0.1, 0.0), (40.2, 0.0))
    assert keeper.now(2.5 + LETS_GO_S, 0.0).rests == ((40.2, 0.0),)


def test_the_last_rest_before_those_shows_where_the_water_since_then_began() -> None:
    keeper = SceneKeeper(0.0)
    assert keeper.now(0.5, 0.0).first_rest is None
    for t_s, level_g in ((1.0, 0.0), (2.0, 5.0), (45.0, 160.0)):
        keeper.rested(t_s, level_g, 0.0)
    assert keeper.now(45.5, 0.0).rests == ((160.0, 0.0),)
    assert keeper.now(45.5, 0.0).first_rest == (5.0, 0.0)


def test_levels_less_than_a_gram_apart_are_one_rest() -> None:
    keeper = SceneKeeper(0.0)
    keeper.rested(1.0, 0.0, 0.0)
    keeper.rested(2.0, 0.6, 0.0)
    assert keeper.now(3.0, 0.0).rests == ((0.6, 0.0),)
    keeper.rested(3.0, 1.6, 0.0)
    assert keeper.now(4.0, 0.0).rests == ((0.6, 0.0), (1.6, 0.0))


@pytest.mark.parametrize(
    ("t_s", "shift_g", "pouring", "poured"),
    [
        (7.4, 0.0, True, False),
        (7.6, 0.0, True, True),
        (7.6, 0.0, False, False),
        (7.6, 5.0, True, False),
    ],
)
def test_water_that_runs_for_longer_than_a_hand_presses_has_been_poured(
    t_s: float, shift_g: float, pouring: bool, poured: bool
) -> None:
    keeper = SceneKeeper(0.0)
    keeper.rested(1.0, 10.0, 0.0)
    keeper.rested(2.0, 10.0, 0.0)
    scene = keeper.now(t_s, 40.0, shift_g, pouring=pouring)
    assert scene.poured_above(12.9) is poured
    assert not scene.poured_above(13.1)


def test_a_vessel_that_went_may_come_back_and_then_is_gone_no_more() -> None:
    keeper = SceneKeeper(0.0)
    keeper.vessel(Away(0.0, -300.0, 0.5, 40.0))
    assert keeper.now(1.0, 0.0).away == (Away(0.0, -300.0, 0.5, 40.0),)
    assert keeper.now(1.0, 0.0).lifted_g == 300.0
    keeper.returned(0.5, 300.0)
    assert keeper.now(1.0, 0.0).away == ()
    assert keeper.now(1.0, 0.0).lifted_g == 0.0


def test_what_a_push_set_down_may_go_again_but_no_brewer_hides_behind_one() -> None:
    keeper = SceneKeeper(0.0)
    keeper.vessel(Away(0.0, 450.0, 0.5, 0.0))
    keeper.vessel(Away(-450.0, -300.0, 0.8, 0.0))
    assert keeper.now(1.0, 0.0).lifted_g == 300.0 - LOADED_G


def test_a_tare_moves_all_that_may_come_back() -> None:
    keeper = SceneKeeper(0.0)
    keeper.rested(1.0, 40.0, 0.0)
    keeper.tare(Away(0.0, -40.0, 1.5, 40.0))
    assert keeper.now(2.0, 0.0).rests == ((40.0, 40.0),)
    assert keeper.now(2.0, 0.0).away == (Away(0.0, -40.0, 1.5, 40.0),)


def test_zero_is_the_bare_platform_only_until_a_tare() -> None:
    keeper = SceneKeeper(500.0)
    assert keeper.now(1.0, 0.0).may_be_empty
    keeper.tare(Away(0.0, -500.0, 1.0, 500.0))
    assert not keeper.now(2.0, 0.0).may_be_empty


def test_where_the_weight_rested_under_a_hand_that_is_gone_is_forgotten() -> None:
    keeper = SceneKeeper(0.0)
    keeper.rested(1.0, 0.0, 0.0)
    keeper.vessel(Away(0.0, 28.0, 2.0, 0.0))
    keeper.rested(3.0, 0.1, -28.0)
    keeper.returned(0.0, -28.0)
    assert keeper.now(4.0, 0.0).rests == ((0.0, 0.0),)


def test_a_brewer_that_is_back_beside_another_thing_leaves_that_there() -> None:
    keeper = SceneKeeper(0.0)
    keeper.vessel(Away(0.0, -350.0, 1.0, 40.0))
    keeper.vessel(Away(350.0, 60.0, 2.0, 40.0))
    keeper.returned(-60.0, 290.0)
    assert keeper.now(3.0, 0.0).away == (Away(0.0, 60.0, 2.0, 40.0),)
    assert keeper.now(3.0, 0.0).lifted_g == -LOADED_G


@pytest.mark.parametrize(("rested_s", "stopped"), [(0.45, True), (0.6, False)])
def test_water_that_stopped_half_a_second_ago_may_have_run_on(
    rested_s: float, stopped: bool
) -> None:
    """Longer ago it did stop: who lifts a brewer has waited."""
    assert Scene(rested_s=rested_s).stopped_now is stopped


def test_a_hand_holds_still_for_some_seconds_and_hardly_longer() -> None:
    """Held for less, it would be a vessel; for longer, a vessel set down would be one."""
    assert Scene(rested_s=2.4).hand_holds == 1.0
    assert 0.25 < Scene(rested_s=3.3).hand_holds < 0.5


@pytest.mark.parametrize(("later_s", "rests"), [(1.3, True), (1.8, False)])
def test_rest_is_noticed_a_little_late(later_s: float, rests: bool) -> None:
    keeper = SceneKeeper(0.0)
    for t_s in range(10):
        keeper.rested(float(t_s), 0.0, 0.0)
    assert (keeper.now(9.0 + later_s, 0.0).rested_s > 0.0) is rests


def test_a_weight_that_has_moved_on_rests_no_more() -> None:
    """A hand that has pressed for less than a second has not held as still as the scale before."""
    keeper = SceneKeeper(0.0)
    for t_s in range(10):
        keeper.rested(float(t_s), 0.0, 0.0)
    assert keeper.now(10.0, 6.6).rested_s == 0.0
    assert keeper.now(10.0, 6.6).hand_holds == 1.0


@pytest.mark.parametrize(("pressed_g", "poured"), [(29.0, True), (31.0, False)])
def test_what_is_left_once_a_hand_as_heavy_has_let_go_may_be_another_hand(
    pressed_g: float, poured: bool
) -> None:
    keeper = SceneKeeper(0.0)
    keeper.rested(2.0, 10.0, 0.0)
    keeper.fell(7.0, pressed_g)
    assert keeper.now(8.0, 40.0, pouring=True).poured_above(10.0) is poured


def test_a_hand_of_before_is_no_doubt_that_water_has_been_poured_since() -> None:
    keeper = SceneKeeper(0.0)
    keeper.rested(0.5, 0.0, 0.0)
    keeper.fell(1.0, 50.0)
    keeper.rested(2.0, 10.0, 0.0)
    assert keeper.now(8.0, 40.0, pouring=True).poured_above(10.0)


def test_what_comes_and_goes_at_once_takes_nothing_else_along() -> None:
    """A finger is lifted from a hand that presses and comes back: the hand still lies there."""
    keeper, hand = SceneKeeper(0.0), Away(0.0, 54.0, 2.0, 0.0)
    keeper.vessel(hand)
    keeper.returned(-54.0, -54.0)
    assert keeper.now(4.0, 0.0).away == (hand,)
