"""The line through arrivals over their count, against numpy's least squares."""

import numpy as np
import pytest

from pourcoach.estimation.stamps.arrival_line import ArrivalLine


def line_through(arrivals, counted=1) -> ArrivalLine:
    line = ArrivalLine()
    for arrival_s in arrivals:
        line.advance(float(arrival_s), counted)
        line.take(float(arrival_s))
    return line


def test_while_memory_grows_it_is_the_least_squares_line():
    rng = np.random.default_rng(1)
    arrivals = 3.0 + 0.1 * np.arange(50) + rng.exponential(0.03, 50)
    line = line_through(arrivals)
    slope, first = np.polyfit(np.arange(50), arrivals, 1)
    assert line.period_s == pytest.approx(slope, rel=1e-9)
    assert line.fitted_s == pytest.approx(first + 49 * slope, rel=1e-9)


def test_it_forgets_an_older_rate():
    arrivals = np.cumsum(np.concatenate((np.full(300, 0.1), np.full(1500, 0.1002))))
    assert line_through(arrivals).period_s == pytest.approx(0.1002, rel=1e-5)


def test_it_moves_by_whole_readings_only():
    line = line_through(np.arange(20) / 10.0)
    before_s = line.counted_s
    assert line.skip(0.27) == pytest.approx(0.3)
    assert line.skip(-0.12) == pytest.approx(-0.1)
    assert line.skip(0.04) == pytest.approx(0.0)
    assert line.counted_s - before_s == pytest.approx(0.2)
    assert line.fitted_s == pytest.approx(line.counted_s)


def test_the_devices_own_period_is_a_mean_over_some_sixty_readings():
    line = ArrivalLine()
    for _ in range(1000):
        line.step(0.1, 1)
    for _ in range(64):
        line.step(0.11, 1)
    # As much as is gone of a mean after its own length: 1 - 1/e.
    assert (line.period_s - 0.1) / 0.01 == pytest.approx(0.632, abs=0.05)
