"""Evenness tells the hand from the scale's noise."""

import numpy as np
import pytest

from pourcoach.estimation.pours.evenness import evenness


def pour(rate_hz, noise_g, cv, seed, swing_hz=0.5, flow=5.0, lasts_s=10.0):
    """A pour with a sine on its flow: its weight, and its true coefficient of variation."""
    rng = np.random.default_rng(seed)
    t = np.arange(0.0, lasts_s, 1.0 / rate_hz)
    phase, omega = rng.uniform(0, 6.28), 2 * np.pi * swing_hz
    size = cv * flow * 2**0.5
    mass = flow * t + size / omega * (np.cos(phase) - np.cos(omega * t + phase))
    fine = np.arange(1.0, lasts_s - 0.6, 0.001)
    true = flow + size * np.sin(omega * fine + phase)
    return (
        t.tolist(),
        (mass + noise_g * rng.standard_normal(len(t))).tolist(),
        true.std() / true.mean(),
    )


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("noise_g", [0.03, 0.1])
@pytest.mark.parametrize("cv", [0.08, 0.25])
def test_it_is_unbiased_by_noise_and_rate(rate_hz, noise_g, cv):
    off, told = [], []
    for seed in range(10):
        times, grams, true = pour(rate_hz, noise_g, cv, seed)
        even = evenness(times, grams, 0.0, 10.0, noise_g**2)
        assert even is not None
        off.append(even.flow_cv - true)
        told.append(even.error)
    assert abs(np.mean(off)) < 0.006
    assert np.std(off) < 0.025
    assert np.sqrt(np.mean(np.square(off))) < 2.0 * np.sqrt(np.mean(np.square(told)))


def test_a_steady_pour_is_even():
    times = [0.1 * i for i in range(100)]
    even = evenness(times, [0.5 * i for i in range(100)], 0.0, 9.9, 0.03**2)
    assert even is not None
    assert even.flow_cv < 0.03


def test_a_short_pour_is_not_judged():
    times = [0.1 * i for i in range(39)]
    assert evenness(times, [0.5 * i for i in range(39)], 0.0, 3.9, 0.03**2) is None


def test_a_touch_is_no_unevenness():
    rng = np.random.default_rng(6)
    for rate_hz, noise_g in ((10.0, 0.03), (80.0, 0.05)):
        times, grams, true = pour(rate_hz, noise_g, 0.08, 6)
        touched = [
            g + 8.0 * np.sin(np.pi * (t - 5.0) / 0.3) ** 2 if 5.0 < t < 5.3 else g
            for t, g in zip(times, grams, strict=True)
        ]
        kept = [i for i in range(len(times)) if not 4.0 < times[i] < 4.2 or rng.uniform() < 0.2]
        even = evenness([times[i] for i in kept], [touched[i] for i in kept], 0.0, 10.0, noise_g**2)
        assert even is not None
        assert even.flow_cv == pytest.approx(true, abs=0.02)


def test_a_gap_makes_it_less_sure():
    times, grams, _ = pour(10.0, 0.03, 0.16, 3)
    kept = [i for i in range(len(times)) if not 4.0 < times[i] < 5.0]
    whole = evenness(times, grams, 0.0, 10.0, 0.03**2)
    gappy = evenness([times[i] for i in kept], [grams[i] for i in kept], 0.0, 10.0, 0.03**2)
    assert whole is not None
    assert gappy is not None
    assert gappy.error > 1.5 * whole.error
    assert gappy.flow_cv == pytest.approx(whole.flow_cv, abs=2.0 * gappy.error)
