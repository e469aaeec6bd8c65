"""Is water coming in: the two-mode filter."""

import numpy as np
import pytest

from pourcoach.estimation.filter.two_modes import TwoModeFilter
from tests.benchmarks.estimation.population import Scale, brew


def run(weights, rate_hz=10.0, noise_var=0.0017):
    modes = TwoModeFilter(0, float(weights[0]), 0.25)
    seen = []
    for index, g in enumerate(weights[1:], start=1):
        modes.update(round(1000 * index / rate_hz), float(g), noise_var)
        seen.append((modes.state.pour_probability, modes.flow_gps, modes.mass_g))
    return modes, np.array(seen)


def noisy(weights, seed=1, sigma=0.04):
    return np.asarray(weights) + sigma * np.random.default_rng(seed).standard_normal(len(weights))


def test_rest_is_quiet():
    _, seen = run(noisy(np.zeros(600)))
    assert np.sqrt(np.mean(seen[50:, 1] ** 2)) < 0.02
    assert seen[:, 0].max() < 0.5


def test_water_is_known_within_three_readings_and_its_end_too():
    t = np.arange(200) * 0.1
    _, seen = run(noisy(6.0 * np.clip(t - 5.0, 0.0, 8.0)))
    assert np.all(seen[52:128, 0] > 0.95)
    assert np.all(seen[133:, 0] < 0.05)
    assert seen[60:128, 1].mean() == pytest.approx(6.0, abs=0.1)


def test_weight_that_falls_is_no_flow():
    _, seen = run(noisy(-2.0 * np.clip(np.arange(100) * 0.1 - 4.0, 0.0, 3.0)))
    assert seen[:, 1].max() < 1.5


def test_one_reading_far_off_moves_nothing():
    weights = noisy(np.zeros(100))
    weights[60] = 20.0
    modes, seen = run(weights)
    assert abs(seen[59, 2]) < 0.05
    assert modes.state.good > 0.99


def test_a_reading_in_doubt_is_a_touch_as_often_as_those_are():
    """One in a hundred, anywhere within fifty grams: five standard deviations off it may be one,
    beside water that begins."""
    weights = np.zeros(100)
    weights[-1] = 0.2
    modes, _ = run(weights)
    assert 1.0 - modes.state.good == pytest.approx(0.025, rel=0.2)


def test_the_errors_it_states_are_those_it_makes():
    """Mean square error over stated variance, of the flow in mid-pour, is about one; somewhat less,
    for the water may always have stopped and here it has not."""
    ratios = []
    for seed in range(1000, 1020):
        one = brew(seed, Scale(10.0, 0.04, 0.0), "oscillator")
        modes = TwoModeFilter(0, 0.0, 0.25)
        for t_s, g in zip(one.times_s[1:], one.grams[1:], strict=True):
            modes.update(round(1000 * (t_s - one.times_s[0])), float(g), 0.0017)
            if one.start_s + 1.0 < t_s < one.stop_s - 0.6:
                ratios.append((modes.flow_gps - one.flow_at(t_s)) ** 2 / modes.flow_var)
    assert len(ratios) > 1000
    assert 0.6 < np.mean(ratios) < 1.2


def test_water_that_stops_between_two_readings_is_seen_to_have_stopped_by_the_second():
    """At ten readings a second it comes to rest anywhere between them: 6 g/s, with the stop so far
    after a reading."""
    for share in (0.1, 0.3, 0.5, 0.7, 0.9):
        stop_s = 13.0 + 0.1 * share
        t = np.arange(160) * 0.1
        _, seen = run(noisy(6.0 * np.clip(t - 5.0, 0.0, stop_s - 5.0)))
        assert seen[131, 0] < 0.1, share


def test_a_filter_goes_on_from_a_state_as_the_one_that_it_is_of():
    weights = noisy(6.0 * np.clip(np.arange(80) * 0.1 - 3.0, 0.0, 8.0))
    modes, _ = run(weights[:60])
    other = TwoModeFilter(0, 500.0, 9.0)
    other.restore(modes.state)
    for index, g in enumerate(weights[60:], start=60):
        for one in (modes, other):
            one.update(100 * index, float(g), 0.0017)
    assert other.state == modes.state
    assert (other.mass_g, other.flow_gps) == (modes.mass_g, modes.flow_gps)


def drumming_learnt(flow_gps, drumming_s, readings):
    """What is believed of the drumming so long after a pour began, in seconds: the root mean square
    over seeds; 0 where less than none is believed."""
    found = []
    for seed in range(30):
        rng = np.random.default_rng(seed)
        modes = TwoModeFilter(0, 0.0, 0.25)
        for index in range(1, 60 + readings + 1):
            poured_s = max(index / 20.0 - 3.0, 0.0)
            beats_g = drumming_s * flow_gps * rng.standard_normal() if poured_s > 0.0 else 0.0
            grams = flow_gps * poured_s + beats_g + 0.02 * rng.standard_normal()
            modes.update(50 * index, grams, 0.02**2)
        found.append(modes.state.drum_s2)
    return float(np.sqrt(max(np.mean(found), 0.0)))


def test_drumming_is_learnt_within_a_second_of_water():
    """Most of it after twenty readings; a clipped mean square stays a little below the whole."""
    assert drumming_learnt(5.0, 0.03, 20) == pytest.approx(0.0217, abs=0.0015)
    assert drumming_learnt(5.0, 0.03, 150) == pytest.approx(0.0275, abs=0.003)


@pytest.mark.parametrize("rate_hz", [10, 20])
def test_a_hand_that_swings_is_no_drumming(rate_hz):
    """What the model of the hand does not follow is off on the same side for several readings."""
    found = []
    for seed in range(30):
        rng = np.random.default_rng(seed)
        t = np.arange(1, 12 * rate_hz) / rate_hz
        swing = 1.0 + 0.6 * np.sign(np.sin(2.0 * np.pi * 0.9 * t + rng.uniform(0.0, 6.0)))
        grams = np.cumsum(np.where(t > 3.0, 5.0 * swing, 0.0)) / rate_hz
        grams += 0.03 * rng.standard_normal(len(t))
        modes = TwoModeFilter(0, 0.0, 0.25)
        for at, g in zip(np.round(1000 * t).astype(int).tolist(), grams.tolist(), strict=True):
            modes.update(at, g, 0.03**2)
            if at > 5000:
                found.append(max(modes.state.drum_s2, 0.0))
    assert float(np.sqrt(np.mean(found))) < 0.02


def test_from_a_trickle_little_is_learnt_of_drumming():
    """A stream that does not drum is known for that at 1.3 g/s; at 0.8 g/s what is usual stays."""
    assert drumming_learnt(1.3, 0.0, 20) < 0.003
    assert drumming_learnt(0.8, 0.0, 10) > 0.004
    assert drumming_learnt(0.8, 0.0, 150) < 0.015
