from itertools import pairwise
from random import Random

import pytest

from pourcoach.domain.plan import Plan, Stage
from pourcoach.simulation.faults import Disturbance, Knock, Lean, Lift, Press
from pourcoach.simulation.handling import Handling, bumps, habitual, presses
from pourcoach.simulation.ticks import TICK_S
from pourcoach.simulation.truth import Truth

PLAN = Plan(10, 10, 100, 18, 60, (Stage("bloom", 0, 20, 5), Stage("pour 1", 18, 100, 5)))


def forces(*done: Disturbance, touches_per_min: float = 0.0, seconds: float = 20) -> list[float]:
    truth = Truth(0.0)
    handling = Handling(done, 0.0, touches_per_min, Random(1), Random(2), truth)
    return [handling.force_g(tick * TICK_S) for tick in range(round(seconds / TICK_S))]


def test_a_knock_strikes_rebounds_and_is_over() -> None:
    felt = forces(Knock(5.0, size_g=15.0, lasts_s=0.25))
    struck = [tick * TICK_S for tick, force_g in enumerate(felt) if force_g]
    assert struck[0] == pytest.approx(5.0, abs=0.01)
    assert struck[-1] == pytest.approx(5.25, abs=0.01)
    assert max(felt) == pytest.approx(15, rel=0.1)
    assert -15 < min(felt) < -3


def test_leaning_comes_and_goes_and_stays_in_between() -> None:
    felt = forces(Lean(5.0, size_g=-20.0, lasts_s=4.0))
    assert felt[round(7 / TICK_S)] == -20
    assert felt[round(4.99 / TICK_S)] == felt[round(9.01 / TICK_S)] == 0
    assert max(abs(b - a) for a, b in pairwise(felt)) < 0.5


def test_a_lift_carries_all_and_sets_it_down_with_a_blow() -> None:
    handling = Handling([Lift(5.0, lasts_s=3.0)], 2.0, 0.0, Random(1), Random(2), Truth(2.0))
    assert handling.lifted(6.9) == 0
    assert handling.lifted(8.5) == 1
    assert handling.lifted(10.1) == 0
    assert max(handling.force_g(10.0 + tick * TICK_S) for tick in range(60)) > 20


def test_touches_come_as_often_as_specified_and_are_known_to_the_truth() -> None:
    truth = Truth(0.0)
    handling = Handling([], 0.0, 12.0, Random(1), Random(2), truth)
    felt = [handling.force_g(tick * TICK_S) for tick in range(round(600 / TICK_S))]
    assert len(truth.events) == pytest.approx(120, abs=30)
    assert 1 < max(map(abs, felt)) < 45
    assert not any(forces(seconds=5))


def test_habitual_knocks_fall_into_rests_and_lifts_into_the_drawdown() -> None:
    for seed in range(20):
        *knocks, lift = habitual(2, 1, PLAN, Random(seed))
        assert all(isinstance(k, Knock) and 8 <= k.brew_s <= 14 for k in knocks)
        assert isinstance(lift, Lift)
        assert 38 <= lift.brew_s <= 60


def test_a_slow_lean_takes_its_time_to_come_and_to_go() -> None:
    felt = forces(Lean(5.0, size_g=20.0, lasts_s=10.0, edge_s=3.0))
    assert felt[round(6.5 / TICK_S)] == pytest.approx(10, abs=0.1)
    assert felt[round(10 / TICK_S)] == 20
    assert felt[round(13.5 / TICK_S)] == pytest.approx(10, abs=0.1)


def test_a_press_grows_as_evenly_as_water_holds_and_lets_go() -> None:
    press = Press(3.0, size_g=30.0, rises_s=5.0, holds_s=2.0, falls_s=0.5)
    felt = forces(press)
    assert press.lasts_s == 7.5
    assert felt[round(2.99 / TICK_S)] == felt[round(10.51 / TICK_S)] == 0
    for share in (0.2, 0.5, 0.8):
        assert felt[round((3.0 + 5.0 * share) / TICK_S)] == pytest.approx(30 * share, rel=0.2)
    held = felt[round(8.0 / TICK_S) : round(10.0 / TICK_S)]
    assert held[0] == pytest.approx(30, rel=0.2)
    assert max(held) - min(held) > 0.3  # a hand is not a weight
    assert max(abs(b - a) for a, b in pairwise(felt)) < 1


def test_bumps_come_at_any_moment_in_all_sizes() -> None:
    made = [bump for seed in range(40) for bump in bumps(6, PLAN, Random(seed))]
    assert len(made) == 240
    assert all(isinstance(bump, Knock) for bump in made)
    for values, low, high in (
        ([abs(bump.size_g) for bump in made], 4, 60),
        ([bump.lasts_s for bump in made], 0.1, 0.6),
        ([bump.brew_s for bump in made], 0, PLAN.finish_s),
    ):
        width = (high - low) / 10
        assert low <= min(values) < low + width
        assert high - width < max(values) <= high
    assert any(bump.size_g < 0 for bump in made)


def test_presses_lie_in_the_waits_one_after_the_other() -> None:
    for seed in range(20):
        made = presses(3, PLAN, Random(seed))
        assert len(made) == 3
        end_s = 8.0
        for one in made:
            assert isinstance(one, Press)
            assert one.brew_s >= end_s - 1e-9
            end_s = one.brew_s + one.lasts_s
            assert 5 <= one.size_g <= 60
        assert end_s <= 14 + 1e-9
