"""Steady gains against scipy's Riccati solution, and the lagged flow against filterpy's smoother of
all readings."""

import numpy as np
import pytest
from filterpy.kalman import KalmanFilter
from scipy.linalg import solve_discrete_are

from pourcoach.estimation.filter.lag_filter import MODEL, LagFilter
from pourcoach.estimation.filter.steady_gains import steady_gains
from pourcoach.estimation.filter.wobble_model import steps_of
from tests.estimation.filter.test_wobble_model import dense

# Written out: what is imported would hold whatever it is.
LAG_S = 0.2


@pytest.mark.parametrize(("period", "lag"), [(100.0, 2), (12.5, 16)])
def test_steady_gains_solve_the_riccati_equation(period, lag):
    noise_var = 0.002
    f, q = dense(steps_of(MODEL)[period])
    h = np.array([[1.0, 0.0, 0.0, 0.0]])
    prior = solve_discrete_are(f.T, h.T, q, np.array([[noise_var]]))
    gains = steady_gains(MODEL, period, noise_var, lag)
    np.testing.assert_allclose(gains.filter, prior[:, 0] / (prior[0, 0] + noise_var), rtol=1e-5)


def smoothed(grams, noise_var) -> list[tuple[float, float]]:
    """Flow and its variance at readings ten times a second, by Rauch, Tung and Striebel."""
    kalman = KalmanFilter(dim_x=4, dim_z=1)
    kalman.F, kalman.Q = dense(steps_of(MODEL)[100])
    kalman.H, kalman.R = np.array([[1.0, 0.0, 0.0, 0.0]]), np.array([[noise_var]])
    kalman.x, kalman.P = np.array([[grams[0]], [0.0], [0.0], [0.0]]), np.diag([1.0, 9.0, 9.0, 99.0])
    means, covariances, *_ = kalman.batch_filter([None if np.isnan(g) else g for g in grams])
    xs, ps, *_ = kalman.rts_smoother(means, covariances)
    return [
        (x[1, 0] + x[2, 0], p[1, 1] + 2.0 * p[1, 2] + p[2, 2]) for x, p in zip(xs, ps, strict=True)
    ]


def test_the_lagged_flow_is_that_of_smoothing_all_readings_so_far():
    rng = np.random.default_rng(6)
    count, noise_var = 300, 2.0**-9
    grams = np.cumsum(0.5 + 0.03 * np.sin(np.arange(count) / 3)) + noise_var**0.5 * (
        rng.standard_normal(count)
    )
    lagged = LagFilter(0, float(grams[0]))
    for index, g in enumerate(grams):
        lagged.update(100 * index + 100, float(g), 1.0, 0.1, noise_var)
    weight_g, flow_gps, error_gps = lagged.settled()
    flow, variance = smoothed(grams, noise_var)[-3]
    assert lagged.about_ticks == pytest.approx(100 * count - 1000 * LAG_S)
    assert flow_gps == pytest.approx(flow, rel=1e-4)
    assert error_gps == pytest.approx(variance**0.5, rel=1e-3)
    assert weight_g == pytest.approx(grams[-3], abs=0.15)


@pytest.mark.parametrize("lost", [(297, 298), (294, 295, 296), (280, 281, 282, 283, 290, 299)])
def test_readings_that_are_missing_leave_no_gains_of_a_steady_rate(lost):
    """By those, a reading after three that were lost, a gram off what was expected, moved the flow
    by four times what it should have."""
    rng = np.random.default_rng(7)
    count, noise_var = 301, 2.0**-9
    grams = np.cumsum(0.7 + 0.3 * np.sin(np.arange(count) / 5)) + noise_var**0.5 * (
        rng.standard_normal(count)
    )
    grams[list(lost)] = np.nan
    lagged = LagFilter(0, float(grams[0]))
    for index, g in enumerate(grams):
        if not np.isnan(g):
            lagged.update(100 * index + 100, float(g), 1.0, 0.1, noise_var)
    weight_g, flow_gps, error_gps = lagged.settled()
    flow, variance = smoothed(grams, noise_var)[-3]
    assert lagged.about_ticks == 100 * count - 200
    assert flow_gps == pytest.approx(flow, abs=0.1 * variance**0.5)
    assert error_gps == pytest.approx(variance**0.5, rel=0.1)
    assert abs(weight_g - np.interp(count - 3, *known(grams))) < 0.2


def known(grams):
    """The places and weights of the readings that were not lost."""
    places = np.flatnonzero(~np.isnan(grams))
    return places, grams[places]


def test_nothing_is_settled_before_the_lag_has_passed():
    lagged = LagFilter(0, 0.0)
    lagged.update(100, 0.0, 1.0, 0.1, 0.002)
    assert lagged.about_ticks is None
