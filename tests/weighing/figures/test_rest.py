import pytest

from pourcoach.weighing.figures.rest import at_rest, rest_of
from tests.weighing.readings import readings


def test_noise_is_that_of_one_reading_and_drift_is_left_out():
    """0.05 g of white noise on 2 mg/s of drift; 1 % of a deviation is 0.7 % of itself at 2400."""
    rest = rest_of(readings(30, lambda t: 100 + 0.002 * t, hz=80, noise_g=0.05))
    assert rest.noise == pytest.approx(0.05, rel=0.04)
    assert rest.mean == pytest.approx(100.03, abs=0.005)
    assert abs(rest.likeness) < 0.06
    assert rest.readings == 2400


def test_a_smoothing_scale_shows_in_neighbours_that_are_alike():
    raw = readings(30, 0.0, hz=80, noise_g=0.05)
    level, smooth = 0.0, []
    for one in raw:
        level += 0.1 * (one.grams - level)
        smooth.append(type(one)(one.t_s, level))
    # First-order smoothing by 0.1: lag-1 correlation 0.9.
    assert rest_of(smooth).likeness == pytest.approx(0.9, abs=0.05)


def test_step_is_the_smallest_difference_seen():
    assert rest_of(readings(20, 5.0, noise_g=0.1, step_g=0.1)).step == pytest.approx(0.1)
    assert rest_of(readings(20, 5.0)).step is None


def test_too_few_readings_say_nothing():
    assert rest_of(readings(0.7, 5.0)) is None
    assert not at_rest(readings(0.7, 5.0))


@pytest.mark.parametrize("noise_g", [0.0, 0.03, 0.2])
def test_a_load_that_lies_still_is_at_rest_whatever_its_noise(noise_g):
    assert all(
        at_rest(readings(2, 100.0, noise_g=noise_g, seed=seed, step_g=0.01)) for seed in range(200)
    )


@pytest.mark.parametrize(
    "moving",
    [
        lambda t: 100 * min(t, 1.0),
        lambda t: 100.0 if t > 1 else 0.0,
        lambda t: 100 - 3 * 0.1**t,
        lambda t: 5 * t,
    ],
)
def test_a_load_put_on_or_still_settling_is_not_at_rest(moving):
    assert not any(
        at_rest(readings(2, moving, noise_g=0.03, seed=seed, step_g=0.1)) for seed in range(50)
    )


def test_a_tolerance_lets_small_moves_pass():
    creeping = readings(2, lambda t: 100 + 0.02 * t)
    assert not at_rest(creeping)
    assert at_rest(creeping, tolerance=0.05)
