"""The written-out filter against matrix algebra, and against filterpy with the same model."""

import numpy as np
from filterpy.kalman import KalmanFilter

from pourcoach.estimation.filter.wobble_filter import correct, predict
from pourcoach.estimation.filter.wobble_model import WobbleModel, steps_of
from tests.estimation.filter.test_wobble_model import dense


def full(p) -> np.ndarray:
    matrix = np.zeros((4, 4))
    matrix[np.triu_indices(4)] = p
    return matrix + np.triu(matrix, 1).T


def test_predict_and_correct_are_the_matrix_forms():
    rng = np.random.default_rng(2)
    root = rng.standard_normal((4, 4))
    before, x = root @ root.T, rng.standard_normal(4)
    step = steps_of(WobbleModel())[80]
    f, q = dense(step)
    mean, covariance = predict(tuple(x), tuple(before[np.triu_indices(4)]), step)
    np.testing.assert_allclose(mean, f @ x, rtol=1e-12)
    np.testing.assert_allclose(full(covariance), f @ before @ f.T + q, rtol=1e-12, atol=1e-13)

    p, s = full(covariance), covariance[0] + 0.04
    gain = p[:, 0] / s
    good, error = 0.7, 0.3
    mean2, covariance2 = correct(mean, covariance, error, s, good)
    np.testing.assert_allclose(mean2, np.array(mean) + good * gain * error, rtol=1e-12)
    spread = good * (1 - good) * error**2 - good * s
    expected = p + spread * np.outer(gain, gain)
    np.testing.assert_allclose(full(covariance2), expected, rtol=1e-11, atol=1e-13)


def test_filterpys_constant_velocity_filter_is_reproduced_to_rounding():
    """Our machinery with no wobble is weight and a flow that walks at random."""
    rng = np.random.default_rng(3)
    dt, drive, noise_var = 0.1, 4.0, 0.0017
    theirs = KalmanFilter(dim_x=2, dim_z=1)
    theirs.F = np.array([[1.0, dt], [0.0, 1.0]])
    theirs.H = np.array([[1.0, 0.0]])
    theirs.Q = drive * np.array([[dt**3 / 3, dt**2 / 2], [dt**2 / 2, dt]])
    theirs.R = np.array([[noise_var]])
    theirs.P = np.diag([0.25, 9.0])
    theirs.x = np.zeros((2, 1))
    step = steps_of(WobbleModel(variance=0.0, drift=drive))[100]
    x, p = (0.0, 0.0, 0.0, 0.0), (0.25, 0.0, 0.0, 0.0, 9.0, 0.0, 0.0, 0.0, 0.0, 0.0)
    for grams in np.cumsum(0.5 + 0.1 * rng.standard_normal(300)):
        theirs.predict()
        theirs.update(grams)
        x, p = predict(x, p, step)
        x, p = correct(x, p, float(grams) - x[0], p[0] + noise_var)
        np.testing.assert_allclose(x[:2], theirs.x[:, 0], rtol=1e-10, atol=1e-12)
        np.testing.assert_allclose(
            [p[0], p[1], p[4]], [theirs.P[0, 0], theirs.P[0, 1], theirs.P[1, 1]], rtol=1e-9
        )
