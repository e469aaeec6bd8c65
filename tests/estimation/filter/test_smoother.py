"""The backward pass against filterpy's Rauch-Tung-Striebel smoother with the same model."""

import numpy as np
from filterpy.kalman import KalmanFilter

from pourcoach.estimation.filter.smoother import pass_through, smooth_flow
from pourcoach.estimation.filter.wobble_model import WobbleModel, steps_of
from tests.estimation.filter.test_wobble_filter import full
from tests.estimation.filter.test_wobble_model import dense

MODEL = WobbleModel()
START = ((0.0, 5.0, 0.0, 0.0), (0.01, 0.0, 0.0, 0.0, 4.0, 0.0, 0.0, 1.3, 0.0, 33.0))


def test_smoothed_flow_and_its_variance_are_those_of_filterpy():
    rng = np.random.default_rng(4)
    times = np.arange(60) * 0.1
    grams = np.cumsum(0.5 + 0.05 * rng.standard_normal(60))
    passages, _ = pass_through(times.tolist(), grams.tolist(), 0.002, MODEL, START)
    ours = smooth_flow(passages)

    f, q = dense(steps_of(MODEL)[100])
    theirs = KalmanFilter(dim_x=4, dim_z=1)
    theirs.x, theirs.P = np.array(START[0])[:, None], full(START[1])
    theirs.F, theirs.Q, theirs.R = f, q, np.array([[0.002]])
    theirs.H = np.array([[1.0, 0.0, 0.0, 0.0]])
    means, covariances = [], []
    for index, z in enumerate(grams):
        if index:
            theirs.predict()
        theirs.update(z)
        means.append(theirs.x.copy())
        covariances.append(theirs.P.copy())
    xs, ps, *_ = theirs.rts_smoother(np.array(means), np.array(covariances))
    np.testing.assert_allclose([m for m, _ in ours], xs[:, 1, 0] + xs[:, 2, 0], rtol=1e-6)
    flow = np.array([0.0, 1.0, 1.0, 0.0])
    np.testing.assert_allclose([v for _, v in ours], [flow @ p @ flow for p in ps], rtol=1e-5)


def test_the_model_that_made_the_data_is_likelier_than_a_wrong_one():
    rng = np.random.default_rng(5)
    f, q = dense(steps_of(MODEL)[100])
    x, grams = np.array(START[0]), []
    for _ in range(300):
        x = f @ x + rng.multivariate_normal(np.zeros(4), q)
        grams.append(float(x[0] + 0.05 * rng.standard_normal()))
    times = [0.1 * i for i in range(300)]
    _, right = pass_through(times, grams, 0.0025, MODEL, START)
    for wrong in (WobbleModel(variance=0.05), WobbleModel(frequency_hz=3.0)):
        assert pass_through(times, grams, 0.0025, wrong, START)[1] < right


def test_a_reading_that_is_missing_or_touched_is_passed_over():
    times = [0.1 * i for i in range(30)]
    grams = [0.5 * i for i in range(30)]
    missing: list[float | None] = [*grams]
    missing[12] = None
    touched = [g + 15.0 * (i == 12) for i, g in enumerate(grams)]
    without, _ = pass_through(times, missing, 0.002, MODEL, START)
    despite, _ = pass_through(times, touched, 0.002, MODEL, START, touch_density=2e-4)
    assert smooth_flow(despite) == smooth_flow(without)
    whole, _ = pass_through(times, grams, 0.002, MODEL, START)
    assert sum(v for _, v in smooth_flow(without)) > sum(v for _, v in smooth_flow(whole))
