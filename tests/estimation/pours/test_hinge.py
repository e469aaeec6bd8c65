"""The hinge against scipy's least squares with the same model."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from pourcoach.estimation.pours.hinge import fit_rise, fit_stop


@pytest.mark.parametrize("seed", range(12))
def test_the_fit_is_scipys(seed):
    rng = np.random.default_rng(seed)
    t = np.arange(25) * 0.1
    bend, slope, level = rng.uniform(0.8, 1.7), rng.uniform(2.0, 9.0), rng.uniform(-5, 300)
    noise = 0.04
    y = level + slope * np.maximum(t - bend, 0.0) + noise * rng.standard_normal(len(t))
    ours = fit_rise(t.tolist(), y.tolist())
    assert ours is not None

    def residuals(p):
        return p[0] + p[1] * np.maximum(t - p[2], 0.0) - y

    starts = (least_squares(residuals, [level, slope, b], xtol=1e-14) for b in t[3:-3:2])
    theirs = min(starts, key=lambda fit: fit.cost)
    assert [ours.level_g, ours.slope_gps, ours.t_s] == pytest.approx(theirs.x, abs=1e-4)


def test_a_stop_is_a_rise_turned_round():
    t = [0.1 * i for i in range(20)]
    y = [6.0 * min(x, 1.23) for x in t]
    stop = fit_stop(t, y)
    assert stop is not None
    assert stop.t_s == pytest.approx(1.23, abs=1e-9)
    assert stop.level_g == pytest.approx(7.38, abs=1e-9)
    assert stop.slope_gps == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("times", "grams"),
    [
        ([0.0, 0.1, 0.2], [0.0, 0.0, 1.0]),
        ([0.1 * i for i in range(9)], [-1.0 * i for i in range(9)]),
    ],
    ids=["too few", "falls"],
)
def test_where_nothing_can_be_estimated_there_is_none(times, grams):
    assert fit_rise(times, grams) is None
