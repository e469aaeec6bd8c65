"""What is done to the platform while nobody pours, or while water runs, and what is left of it."""

import numpy as np
import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.estimation.estimator import Estimator
from tests.estimation.conftest import Bench
from tests.estimation.platform.handled import (
    WATER_G,
    all_found,
    followed,
    gush,
    kinds,
    push,
    step,
    water,
)
from tests.estimation.platform.press_log import LOG, Weight


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("more_gps", [7.0, 10.0, 15.0])
def test_a_gush_is_water_and_no_touch(rate_hz: float, more_gps: float) -> None:
    estimate = followed(rate_hz, gush(44.93, 46.33, more_gps))
    assert not estimate.events
    assert [pour.start_s for pour in estimate.pours] == pytest.approx([5.1, 40.1], abs=0.3)
    assert estimate.mass_g == pytest.approx(WATER_G + 1.4 * more_gps, abs=1.0)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
def test_what_is_set_down_under_the_stream_is_no_gush(rate_hz: float) -> None:
    estimate = followed(rate_hz, step(45.0, 30.0))
    assert kinds(estimate) == {EventKind.PLACED}
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.5)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("grams", [8.0, 20.0, 36.0])
@pytest.mark.parametrize(("up_s", "down_s"), [(0.5, 0.3), (1.4, 1.0), (1.8, 1.4)])
def test_a_hand_that_presses_and_lets_go_is_no_water(
    rate_hz: float, grams: float, up_s: float, down_s: float
) -> None:
    estimate = followed(rate_hz, push(25.0, up_s, 1.5, down_s, grams))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("acts", LOG.values(), ids=LOG)
def test_nothing_is_left_of_a_log_of_presses(rate_hz: float, acts: tuple[Weight, ...]) -> None:
    estimate = followed(rate_hz, *acts)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert [pour.mass_g for pour in estimate.pours] == pytest.approx([40.0, 40.0], abs=1.0)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("grams", [-6.0, -3.0, 3.0, 8.0])
@pytest.mark.parametrize("lasts_s", [3.0, 8.0])
def test_a_hand_that_leans_takes_no_water_and_leaves_none(
    rate_hz: float, grams: float, lasts_s: float
) -> None:
    estimate = followed(rate_hz, push(20.0, 0.4 * lasts_s, 0.2 * lasts_s, 0.4 * lasts_s, grams))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert [pour.mass_g for pour in estimate.pours] == pytest.approx([40.0, 40.0], abs=1.0)


@pytest.mark.parametrize("down_s", [0.6, 1.0, 1.4])
def test_a_hand_on_a_scale_at_zero_that_lets_go_slowly_is_no_tare(down_s: float) -> None:
    estimate = followed(10.0, push(1.0, 1.2, 0.6, down_s, 11.0))
    assert EventKind.SCALE_TARE not in kinds(estimate)
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)


def test_hands_that_press_over_one_another_leave_nothing() -> None:
    estimate = followed(
        10.0,
        push(20.0, 0.8, 1.4, 0.5, 30.0),
        push(20.3, 1.5, 3.0, 1.2, 25.0),
        push(22.0, 1.2, 3.0, 1.4, 12.0),
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)


@pytest.mark.parametrize("rate_hz", [10.0, 80.0])
@pytest.mark.parametrize("at_s", [8.0, 12.9, 13.3, 25.0, 39.9, 44.0, 50.0])
def test_the_scales_own_tare_at_any_moment_loses_no_water(rate_hz: float, at_s: float) -> None:
    stood_g = float(water(np.array([at_s]))[0])
    estimate = followed(rate_hz, step(at_s, -stood_g))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert kinds(estimate) == {EventKind.SCALE_TARE}


@pytest.mark.parametrize("rate_hz", [20.0, 40.0, 80.0])
@pytest.mark.parametrize("at_s", [5.5, 5.7])
def test_a_tare_in_the_first_second_of_a_pour_loses_no_water(rate_hz: float, at_s: float) -> None:
    """So little, going so soon, may be a hand that pressed; but the stream goes on."""
    stood_g = float(water(np.array([at_s]))[0])
    assert followed(rate_hz, step(at_s, -stood_g)).unbroken_g == pytest.approx(WATER_G, abs=0.6)


@pytest.mark.parametrize("at_s", [7.0, 9.5, 11.0, 43.0])
def test_a_tare_under_the_stream_is_no_lift_though_its_zero_is_a_little_old(at_s: float) -> None:
    """The scale takes the mean of the last fifth of a second for zero, and all that stands there
    was on it when it was switched on, so that zero may be the bare platform."""
    load_g = 300.0
    zero_g = load_g + float(water(np.array([at_s - 0.1]))[0])
    estimate = followed(40.0, step(-1.0, load_g), step(at_s, -zero_g))
    assert estimate.unbroken_g == pytest.approx(load_g + WATER_G, abs=1.0)
    assert kinds(estimate) == {EventKind.SCALE_TARE}


def test_a_vessel_set_down_is_no_water() -> None:
    estimate = followed(20.0, step(20.0, 120.0))
    assert all_found(estimate)
    assert kinds(estimate) == {EventKind.PLACED}


def flat_blow(from_s: float, lasts_s: float, grams: float) -> Weight:
    """A blow with steep sides and a flat top."""

    def weight(times: np.ndarray) -> np.ndarray:
        share = (times - from_s) / lasts_s
        return grams * np.clip(8.0 * np.minimum(share, 1.0 - share), 0.0, 1.0)

    return weight


@pytest.mark.parametrize("grams", [30.0, -30.0])
@pytest.mark.parametrize("lasts_s", [0.4, 0.6])
@pytest.mark.parametrize("more_gps", [7.0, 9.0, 11.0])
@pytest.mark.parametrize("rate_hz", [10.0, 12.5])
def test_a_gush_that_begins_under_a_blow_is_water(
    rate_hz: float, more_gps: float, lasts_s: float, grams: float
) -> None:
    blow = flat_blow(44.4, lasts_s, grams)
    estimate = followed(rate_hz, gush(44.5, 45.9, more_gps), blow)
    assert estimate.unbroken_g == pytest.approx(WATER_G + 1.4 * more_gps, abs=1.5)


@pytest.mark.parametrize("at_s", [42.0, 43.3, 44.0, 45.2])
@pytest.mark.parametrize(("lasts_s", "pulls_g"), [(0.23, 11.0), (0.39, 19.0)])
def test_a_blow_that_pulls_right_after_another_takes_no_water(
    lasts_s: float, pulls_g: float, at_s: float
) -> None:
    first_s = 1.5 * lasts_s
    estimate = followed(
        80.0,
        lambda t: 10.0 * np.sin(np.pi * np.clip((t - at_s) / first_s, 0.0, 1.0)),
        flat_blow(at_s + first_s, lasts_s, -pulls_g),
    )
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.0)


def test_errors_widen_while_it_is_not_clear_what_the_readings_are() -> None:
    """A blow of half a second while water runs: the weight is off by less than the error says."""
    bench, estimator = Bench(40.0, 0.04, 0.05), Estimator()
    blow = push(9.0, 0.25, 0.0, 0.25, 30.0)
    errors, off = {}, {}
    for reading in bench.weigh(lambda t: water(t) + blow(t), 12.0):
        estimate = estimator.feed(reading)
        errors[reading.t_s] = estimate.mass_error_g
        off[reading.t_s] = abs(estimate.unbroken_g - float(water(np.array([reading.t_s]))[0]))
    clear = max(error for t, error in errors.items() if 7.0 < t < 8.9)
    late = [t for t in errors if 9.3 < t < 9.45]
    assert min(errors[t] for t in late) > 5.0 * clear
    assert all(off[t] < 2.0 * errors[t] for t in late)
    assert errors[11.0] < 2.0 * clear


@pytest.mark.parametrize(
    ("up_s", "down_s", "grams"), [(1.2, 0.4, 9.0), (1.2, 1.0, 9.0), (1.8, 1.0, 18.0)]
)
def test_a_press_leaves_no_little_pour_behind(up_s: float, down_s: float, grams: float) -> None:
    """Of a slow scale a reading falls on the last of the way down, near enough to seem the end."""
    estimate = followed(6.2, push(20.0, up_s, 3.0, down_s, grams))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize(
    ("rate_hz", "up_s", "grams"),
    [
        *((10.0, 1.2, 22.0), (40.0, 1.2, 22.0), (20.0, 1.0, 30.0)),
        *((20.0, 1.6, 20.0), (80.0, 1.2, 15.0), (40.0, 1.5, 22.0)),
    ],
)
def test_a_rise_steeper_than_water_is_not_reported_as_a_pour(
    rate_hz: float, up_s: float, grams: float
) -> None:
    bench, estimator = Bench(rate_hz, 0.04, 0.05), Estimator()
    press = push(20.0, up_s, 2.0, 0.6, grams)
    readings = bench.weigh(lambda t: water(t) + press(t), 30.0, 0.1)
    pouring = [estimate.t_s for estimate in map(estimator.feed, readings) if estimate.pouring]
    assert not [t_s for t_s in pouring if t_s > 18.0]


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize(
    ("at_s", "grams"),
    [(19.0, 6.0), (19.0, 12.0), (19.0, 20.0), (19.0, 30.0), (25.0, 20.0), (25.0, 40.0)],
)
def test_a_thing_taken_off_a_bed_left_alone_takes_no_water_along(
    rate_hz: float, at_s: float, grams: float
) -> None:
    """Were it a hand that lets go, it would have held still for so long; the bloom of 40 g too."""
    load = step(-1.0, 300.0)
    estimate = followed(rate_hz, load, step(at_s, -grams))
    assert estimate.unbroken_g - 300.0 == pytest.approx(WATER_G, abs=1.0), estimate.events
    assert kinds(estimate) == {EventKind.LIFTED}


@pytest.mark.parametrize("up_s", [0.6, 0.7])
def test_a_hand_that_goes_takes_along_what_was_taken_for_water_under_it(up_s: float) -> None:
    estimate = followed(80.0, push(20.0, up_s, 2.5, 0.65, 36.0))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("left_g", [1.2, 1.8])
def test_a_second_tare_takes_no_water_along_however_little_the_first_has_left(
    rate_hz: float, left_g: float
) -> None:
    """The first came just before the end of a pour, under the stream."""
    first_s = 13.0 - left_g / 5.0
    tared_g = float(water(np.array([first_s]))[0])
    estimate = followed(rate_hz, step(first_s, -tared_g), step(39.0, -left_g))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=0.6), estimate.events


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize(("up_s", "down_s", "grams"), [(2.0, 0.9, 12.0), (1.2, 0.9, 20.0)])
def test_a_hand_that_presses_where_something_heavy_is_gone_leaves_no_water(
    rate_hz: float, up_s: float, down_s: float, grams: float
) -> None:
    gone = step(17.2, -109.0)
    estimate = followed(rate_hz, step(-1.0, 300.0), gone, push(25.0, up_s, 2.4, down_s, grams))
    assert estimate.unbroken_g - 300.0 == pytest.approx(WATER_G, abs=1.0), estimate.events
    assert len(estimate.pours) == 2


@pytest.mark.parametrize("rate_hz", [40.0, 80.0])
@pytest.mark.parametrize("at_s", [11.0, 13.0, 13.2])
def test_all_that_goes_in_one_reading_of_a_fast_scale_is_a_tare(
    rate_hz: float, at_s: float
) -> None:
    """The brewer stood there from the first, so that zero is the bare platform, too."""
    tared_g = 500.0 + float(water(np.array([at_s]))[0])
    estimate = followed(rate_hz, step(-1.0, 500.0), step(at_s, -tared_g))
    assert estimate.unbroken_g == pytest.approx(500.0 + WATER_G, abs=1.0), estimate.events
    assert kinds(estimate) == {EventKind.SCALE_TARE}
