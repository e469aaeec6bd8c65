"""What is a tare of the scale's own, and what only looks like one."""

import numpy as np
import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.fall import Fall
from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.filter.filter_state import state_at
from pourcoach.estimation.platform.following import Moment
from pourcoach.estimation.platform.hypothesis import Hypothesis, Turn, TurnKind
from pourcoach.estimation.platform.newest import Newest
from pourcoach.estimation.platform.scene import Scene
from pourcoach.estimation.platform.tares import Tares

RESTING_TENTHS = [int(place in (0, 9, 21, 27)) for place in range(69)]
RISING_TENTHS = (0, 4, 16, 25, 32, 41, 49, 57, 65, 74, 81, 90, 98, 109, 119, 129, 136)
"""A hand that begins all at once, on a scale of ten readings a second without much noise."""


def test_water_that_begins_steeply_is_no_tare() -> None:
    """A tare takes the figure to zero, and never farther from it: taken for one, the first readings
    of such a pour were not counted to it."""
    estimator = Estimator(fall=Fall(0.0, 0.0))
    tenths = [*RESTING_TENTHS, *RISING_TENTHS, *[RISING_TENTHS[-1]] * 40]
    for place, tenth in enumerate(tenths):
        estimator.feed(Reading(place / 10.0, tenth / 10.0))
    last = estimator.close(len(tenths) / 10.0)
    assert EventKind.SCALE_TARE not in {event.kind for event in last.events}
    assert [pour.mass_g for pour in last.pours] == [pytest.approx(13.6, abs=0.1)]


@pytest.mark.parametrize("begins_g", [0.2, 0.3, 0.4])
def test_water_that_begins_below_zero_and_rises_through_it_is_no_tare(begins_g: float) -> None:
    """A hand lay on the scale while it was tared, and the figure stands below zero."""
    estimator = Estimator(fall=Fall(0.0, 0.0))
    noise = (0.1, -0.1, 0.0, -0.2, 0.1, 0.0, 0.1)
    rises = (0.1, begins_g, 1.75, 2.3, 2.8, 3.4, *(3.4 + 0.5 * n for n in range(1, 60)))
    weights = [*[0.0] * 75, *rises, *[rises[-1]] * 40]
    for place, weight_g in enumerate(weights):
        reading_g = round(weight_g - 1.75 + noise[place % 7], 1)
        estimator.feed(Reading(place / 12.5, reading_g))
    last = estimator.close(len(weights) / 12.5)
    assert not last.events
    assert last.unbroken_g == pytest.approx(rises[-1] - 1.75, abs=0.3)


@pytest.mark.parametrize(("rate_hz", "after_s"), [(5, 0.5), (5, 0.7), (5, 0.8), (10, 0.4)])
def test_a_tare_just_after_the_first_water_is_no_hand_that_lets_go(
    rate_hz: int, after_s: float
) -> None:
    """Readings that rose are no slide down from a load: 1 to 4 g that had come before the tare were
    lost."""
    estimator, rng = Estimator(fall=Fall(0.0, 0.0)), np.random.default_rng(1)
    times = np.arange(0.04, 30.0, 1.0 / rate_hz)
    ran_s = np.clip(times - 8.0, 0.0, 8.0)
    weights = 7.0 * np.where(ran_s < 0.3, ran_s**2 / 0.6, ran_s - 0.15)
    poured_g = float(weights[-1])
    weights = weights + 0.05 * rng.standard_normal(len(times))
    tared = int(np.searchsorted(times, 8.0 + after_s))
    weights[tared:] -= weights[tared - 1]
    for t_s, weight_g in zip(times, weights, strict=True):
        estimator.feed(Reading(float(t_s), round(float(weight_g), 1)))
    last = estimator.close(30.0)
    assert {event.kind for event in last.events} == {EventKind.SCALE_TARE}
    assert [pour.mass_g for pour in last.pours] == [pytest.approx(poured_g, abs=0.5)]


@pytest.mark.parametrize("kind", [TurnKind.RETURN, TurnKind.VESSEL])
@pytest.mark.parametrize(("later_ticks", "tares"), [(400, 0), (600, 1)])
def test_nobody_presses_the_button_while_setting_a_brewer_down(
    kind: TurnKind, later_ticks: int, tares: int
) -> None:
    stands = state_at(0, 40.0, 0.01, 0.001, 0.0)
    turn = Turn(0, kind, 0.0, 0.0, 40.0, 300.0)
    back = Hypothesis(0.0, False, 0, stands, 0.0, 0.0).turned(0.0, turn)
    found = Tares(Newest(0, 40.0), Scene()).tared(
        back, Moment(later_ticks, 0.0, 0.0025, 0.1, False), 0.0
    )
    assert len(list(found)) == tares


@pytest.mark.parametrize(("stood_g", "share"), [(6.0, 0.018), (15.0, 0.135), (30.0, 1.0)])
def test_the_less_has_come_the_rarer_is_a_tare_that_takes_it_to_where_it_was(
    stood_g: float, share: float
) -> None:
    """Beside one at a level that nothing has rested below. A hand presses lightly as often as hard,
    and a pour brings 30 g and more."""
    stands = state_at(0, stood_g, 0.01, 0.001, 0.0)
    one = Hypothesis(0.0, False, 0, stands, 0.0, 0.0)
    now = Moment(200, 0.0, 0.0025, 0.2, False)
    (beside,) = Tares(Newest(0, stood_g), Scene()).tared(one, now, 0.0)
    (tare,) = Tares(Newest(0, stood_g), Scene(rests=((0.0, 0.0),))).tared(one, now, 0.0)
    assert np.exp(tare.log_p - beside.log_p) == pytest.approx(share, rel=1e-3)
