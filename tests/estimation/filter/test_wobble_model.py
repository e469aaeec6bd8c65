"""Step matrices against scipy's matrix exponential and against closed forms."""

import numpy as np
import pytest
from scipy.linalg import expm

from pourcoach.estimation.filter.wobble_model import WobbleModel, steps_of, van_loan


def dense(step) -> tuple[np.ndarray, np.ndarray]:
    f = np.array(
        [
            [1.0, step.f01, step.f02, step.f03],
            [0.0, 1.0, 0.0, 0.0],
            [0.0, 0.0, step.f22, step.f23],
            [0.0, 0.0, step.f32, step.f33],
        ]
    )
    q = np.array(
        [
            [step.q00, step.q01, step.q02, step.q03],
            [step.q01, step.q11, 0.0, 0.0],
            [step.q02, 0.0, step.q22, step.q23],
            [step.q03, 0.0, step.q23, step.q33],
        ]
    )
    return f, q


@pytest.mark.parametrize("ticks", [1, 12, 13, 100, 2500])
def test_steps_are_scipys_matrix_exponential(ticks):
    model = WobbleModel(0.7, 0.4, 1.5, 1.1)
    omega = 2 * np.pi * 0.7
    a = np.zeros((4, 4))
    a[0, 1] = a[0, 2] = a[2, 3] = 1.0
    a[3, 2], a[3, 3] = -(omega**2), -2 * 0.4 * omega
    g = np.diag([0.0, 1.1, 0.0, 4 * 0.4 * omega**3 * 1.5])
    dt = ticks / 1000
    f, q = dense(steps_of(model)[ticks])
    np.testing.assert_allclose(f, expm(a * dt), rtol=1e-11, atol=1e-14)
    block = expm(np.block([[-a, g], [np.zeros((4, 4)), a.T]]) * min(dt, 0.5))
    expected = block[4:, 4:].T @ block[:4, 4:]
    if dt <= 0.5:
        np.testing.assert_allclose(q, expected, rtol=1e-9, atol=1e-16)


def test_a_random_walk_of_flow_has_the_textbook_noise():
    # Constant velocity, Q = r [[t³/3, t²/2], [t²/2, t]]: Bar-Shalom, Li & Kirubarajan 2001,
    # "Estimation with Applications to Tracking and Navigation", section 6.2.2 (from memory).
    f, q = van_loan(((0.0, 1.0), (0.0, 0.0)), ((0.0, 0.0), (0.0, 3.0)), 0.2)
    np.testing.assert_allclose(f, [[1.0, 0.2], [0.0, 1.0]], rtol=1e-14)
    np.testing.assert_allclose(q, 3.0 * np.array([[0.008 / 3, 0.02], [0.02, 0.2]]), rtol=1e-13)


def test_two_steps_make_one():
    steps = steps_of(WobbleModel())
    (f1, q1), (f2, q2), (f3, q3) = (dense(steps[t]) for t in (40, 60, 100))
    np.testing.assert_allclose(f2 @ f1, f3, rtol=1e-12, atol=1e-15)
    np.testing.assert_allclose(f2 @ q1 @ f2.T + q2, q3, rtol=1e-10, atol=1e-16)


def test_the_wobble_keeps_its_stationary_size():
    model = WobbleModel(0.8, 0.5, 1.3, 1.2)
    f, q = dense(steps_of(model)[50])
    omega = 2 * np.pi * 0.8
    stationary = np.diag([1.3, 1.3 * omega**2])
    f, q = f[2:, 2:], q[2:, 2:]
    np.testing.assert_allclose(f @ stationary @ f.T + q, stationary, rtol=1e-10, atol=1e-12)


@pytest.mark.parametrize("seconds", [2, 15, 40, 120])
def test_a_long_step_is_its_seconds_in_a_row(seconds):
    """exp(-A t) of a long step would leave nothing of Q, and a negative variance."""
    steps = steps_of(WobbleModel())
    f1, q1 = dense(steps[1000])
    f, q = np.eye(4), np.zeros((4, 4))
    for _ in range(seconds):
        f, q = f1 @ f, f1 @ q @ f1.T + q1
    long_f, long_q = dense(steps[1000 * seconds])
    np.testing.assert_allclose(long_f, f, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(long_q, q, rtol=1e-9, atol=1e-9)
    assert np.all(np.linalg.eigvalsh(long_q) > 0)
