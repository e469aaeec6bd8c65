"""A brewer that is lifted, held, poured into, dripping, and set down again."""

import numpy as np
import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.inputs import Reading
from pourcoach.domain.pour import Unjudged
from pourcoach.estimation.estimator import Estimator
from tests.estimation.platform.handled import (
    UNTIL_S,
    WATER_G,
    all_found,
    blow,
    followed,
    held,
    push,
    step,
    water,
)


@pytest.mark.parametrize("lasts_s", [1.0, 1.5, 2.5])
@pytest.mark.parametrize("rate_hz", [10.0, 20.0, 80.0])
def test_a_brewer_held_for_a_moment_in_mid_pour_loses_no_water(
    rate_hz: float, lasts_s: float
) -> None:
    estimate = followed(rate_hz, held(43.0, 43.0 + lasts_s))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
def test_a_brewer_lifted_and_put_back_changes_nothing(rate_hz: float) -> None:
    estimate = followed(rate_hz, push(20.0, 0.2, 3.0, 0.2, -300.0))
    assert all_found(estimate)
    assert [one.kind for one in estimate.events] == [EventKind.LIFTED, EventKind.RETURNED]


@pytest.mark.parametrize("away_g", [-200.0, -354.0])
@pytest.mark.parametrize("drips_gps", [0.0, 3.5])
@pytest.mark.parametrize("tared_g", [0.0, 40.0])
def test_a_lift_that_shows_zero_on_its_way_is_no_tare(
    tared_g: float, drips_gps: float, away_g: float
) -> None:
    """One reading of its edge is just zero, as after a tare by the scale's own button."""
    times = np.arange(0.0, UNTIL_S, 0.1)
    grams = water(times) + 0.1 * np.random.default_rng(1).standard_normal(len(times))
    grams[times > 30.0] -= tared_g
    grams[500], grams[501] = 0.0, 0.8 * away_g
    grams[502:550] = away_g + 0.1 * drips_gps * np.arange(48)
    estimator = Estimator()
    for t_s, g in zip(times, grams, strict=True):
        estimator.feed(Reading(float(t_s), round(float(g), 1)))
    estimate = estimator.close(UNTIL_S)
    kinds = [one.kind for one in estimate.events if one.start_s > 40.0]
    assert kinds == [EventKind.LIFTED, EventKind.RETURNED]
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)


@pytest.mark.parametrize("rate_hz", [10.0, 20.0, 80.0])
@pytest.mark.parametrize(
    ("from_s", "to_s"), [(42.0, 44.5), (42.0, 47.0), (39.0, 42.0), (46.5, 48.3)]
)
def test_water_poured_into_a_brewer_that_is_held_is_counted_when_it_stands_again(
    rate_hz: float, from_s: float, to_s: float
) -> None:
    estimate = followed(rate_hz, held(from_s, to_s))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    assert [one.kind for one in estimate.events] == [EventKind.LIFTED, EventKind.RETURNED]
    assert sum(pour.unseen_g for pour in estimate.pours) > 2.0
    assert sum(pour.mass_g or 0.0 for pour in estimate.pours) == pytest.approx(WATER_G, abs=1.0)


def test_what_a_brewer_has_gained_is_not_what_an_old_tare_took() -> None:
    """The scale was zeroed at 5 g, long ago, which is about what has come into the brewer now."""
    tare_g = float(water(np.array([6.0]))[0])
    estimate = followed(20.0, step(6.0, -tare_g), held(46.3, 48.1, drips_gps=2.0), blow(48.1, 40.0))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events


def test_what_is_set_down_and_swings_leaves_the_water_as_it_was() -> None:
    """The spring swings out a few grams low, and then over the level, as slowly as it comes."""

    def swing(times: np.ndarray) -> np.ndarray:
        share = (times - 24.15) / 0.25
        ring = np.exp(-3.0 * share) * np.cos(2.0 * np.pi * 1.2 * share)
        return 12.0 * np.where((share >= 0.0) & (share <= 1.0), ring, 0.0)

    estimate = followed(80.0, push(20.0, 0.25, 3.7, 0.25, -480.0), swing)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events


@pytest.mark.parametrize(("load_g", "to_s"), [(300.0, 44.5), (350.0, 44.3), (350.0, 44.55)])
def test_what_is_poured_into_a_brewer_that_drips_and_bounces_is_counted(
    load_g: float, to_s: float
) -> None:
    def bounce(times: np.ndarray) -> np.ndarray:
        knots = to_s + np.array([-0.05, 0.0, 0.05, 0.1, 0.2])
        return np.interp(times, knots, [0.0, 17.0, 18.0, -20.0, 0.0])

    estimate = followed(10.0, held(40.0, to_s, 2.0, load_g), bounce)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    lifted, returned = estimate.events
    assert lifted.change_g + returned.change_g == pytest.approx(0.0, abs=3.0)


@pytest.mark.parametrize("rate_hz", [10.0, 20.0])
@pytest.mark.parametrize(("from_s", "to_s", "judged"), [(43.0, 44.5, True), (42.0, 45.0, False)])
def test_what_drips_from_a_brewer_that_is_held_is_not_how_even_the_pour_was(
    rate_hz: float, from_s: float, to_s: float, judged: bool
) -> None:
    pour = followed(rate_hz, held(from_s, to_s, 1.5, 350.0)).pours[-1]
    if judged:
        assert pour.flow_cv is not None
        assert pour.flow_cv < 0.05
    else:
        assert (pour.flow_cv, pour.unjudged) == (None, Unjudged.HIDDEN)


@pytest.mark.parametrize("rate_hz", [20.0, 40.0, 80.0])
@pytest.mark.parametrize("ends_s", [47.6, 46.5])
@pytest.mark.parametrize("swings_g", [40.0, -20.0])
def test_it_is_the_weight_before_and_after_that_decides_however_the_brewer_is_set_down(
    rate_hz: float, ends_s: float, swings_g: float
) -> None:
    """Dripping fast, and the pour ends a moment after the brewer stands again."""
    estimate = followed(
        rate_hz, held(43.5, ends_s, 3.0, 330.0), blow(ends_s - 0.05, swings_g), step(20.0, -40.0)
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    lifted, returned = estimate.events[-2:]
    assert lifted.change_g + returned.change_g == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0, 80.0])
@pytest.mark.parametrize(("from_s", "to_s"), [(18.0, 22.5), (41.0, 44.2), (46.5, 49.0)])
def test_what_drips_from_a_brewer_that_is_held_is_no_water(
    rate_hz: float, from_s: float, to_s: float
) -> None:
    """On a scale zeroed before, in a wait, in mid-pour and at its end: when the brewer stands
    again, all that it holds is known by the weight from before."""
    estimate = followed(
        rate_hz, step(16.0, -40.0), held(from_s, to_s, 2.0, 330.0), blow(to_s - 0.05, 40.0)
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    lifted, returned = estimate.events[-2:]
    assert (lifted.kind, returned.kind) == (EventKind.LIFTED, EventKind.RETURNED)
    assert sum(pour.mass_g or 0.0 for pour in estimate.pours) == pytest.approx(WATER_G, abs=1.0)


@pytest.mark.parametrize("rate_hz", [40.0, 80.0])
@pytest.mark.parametrize("from_s", [46.2, 46.8])
def test_a_brewer_lifted_slowly_at_first_was_poured_into_all_the_same(
    rate_hz: float, from_s: float
) -> None:
    def slowly(times: np.ndarray) -> np.ndarray:
        share = np.clip((times - from_s + 0.4) / 0.4, 0.0, 1.0)
        return -4.0 * share**2 * (times < from_s + 2.0)

    estimate = followed(rate_hz, slowly, held(from_s, from_s + 2.0))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events


@pytest.mark.parametrize("lost_g", [0.6, 1.0, 2.5])
def test_drips_that_fall_beside_the_server_are_no_loss_of_water(lost_g: float) -> None:
    estimate = followed(10.0, push(20.0, 0.2, 3.0, 0.2, -300.0), step(23.3, -lost_g))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=0.3)
    assert len(estimate.pours) == 2


def test_two_things_lifted_one_after_the_other_and_put_back_at_once_are_both_back() -> None:
    """The brewer is lifted with its server's lid off already: nothing is left to come back."""
    estimate = followed(
        12.5,
        push(19.0, 0.2, 4.2, 0.2, -160.0),
        push(21.0, 0.2, 2.2, 0.2, -270.0),
        blow(43.0, 12.0),
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0), estimate.events
    assert len(estimate.pours) == 2


@pytest.mark.parametrize("rate_hz", [20.0, 40.0])
def test_a_blow_as_the_brewer_is_set_down_on_a_scale_at_zero_is_no_water(rate_hz: float) -> None:
    """The scale was zeroed before: after the blow it shows what a tare would leave."""

    def blow(times: np.ndarray) -> np.ndarray:
        return 15.0 * ((times >= 24.0) & (times < 24.2))

    estimate = followed(rate_hz, step(16.0, -40.0), push(20.0, 0.2, 3.7, 0.2, -244.0), blow)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
