"""The halves of means show how strongly water drums, however the hand pours."""

import numpy as np
import pytest

from pourcoach.estimation.noise.whitening import Means, Relaxation
from pourcoach.estimation.pours.scatter import halves, scatter

NONE = Relaxation(np.array([0.0]), np.array([0.025]))


def taken_together(rng, count, drumming_s, flows):
    """Six readings a mean at 80 Hz of a flow, (n,), that drums."""
    times = np.arange(count * 6) / 80.0
    keep = np.exp(-1.0 / (80.0 * 0.025))
    drum = rng.standard_normal(len(times))
    for i in range(1, len(drum)):
        drum[i] = keep * drum[i - 1] + np.sqrt(1.0 - keep * keep) * drum[i]
    readings = np.cumsum(np.repeat(flows, 6)) / 80.0 + drumming_s * drum
    readings += 0.002 * rng.standard_normal(len(times))
    members_s, shares = times.reshape(count, 6), np.full((count, 6), 1.0 / 6.0)
    means = Means(members_s.mean(axis=1), members_s, shares, np.zeros(count))
    return means, readings.reshape(count, 6)


@pytest.mark.parametrize("drumming_s", [0.012, 0.03])
def test_the_right_strength_is_the_likeliest(drumming_s):
    rng = np.random.default_rng(3)
    flows = 1.0 + 0.3 * np.sin(np.arange(400) / 5.0)
    means, readings = taken_together(rng, 400, drumming_s, flows)
    seen = scatter(halves(means, readings, 0.002**2), flows, np.ones(400, dtype=bool))
    strengths_s = drumming_s * np.array([0.7, 0.85, 1.0, 1.18, 1.4])
    likelihoods = seen.log_likelihoods((Relaxation(strengths_s**2, np.full(5, 0.025)),))
    assert np.argmax(likelihoods) == 2
    assert likelihoods[2] - likelihoods[[0, 4]].max() > 5.0


def test_what_is_not_believed_is_not_counted():
    rng = np.random.default_rng(4)
    flows = np.ones(100)
    means, readings = taken_together(rng, 100, 0.01, flows)
    calm = scatter(halves(means, readings, 0.002**2), flows, np.ones(100, dtype=bool))
    readings[3, 4:] += 2.0
    good = np.arange(100) != 3
    spoilt = scatter(halves(means, readings, 0.002**2), flows, good)
    assert spoilt.count == calm.count - 1
    assert spoilt.square == pytest.approx(calm.square, rel=0.1)


def test_single_readings_say_nothing():
    times = np.arange(10.0)[:, None]
    means = Means(times[:, 0], times, np.ones((10, 1)), np.zeros(10))
    seen = scatter(halves(means, times, 1e-6), np.ones(10), np.ones(10, dtype=bool))
    assert seen.count == 0
    assert seen.log_likelihoods((NONE,)).tolist() == [0.0]
