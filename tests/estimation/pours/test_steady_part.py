"""The steady part of a pour: its mean flow, and what of it nobody read."""

import numpy as np
import pytest

from pourcoach.estimation.noise.scale_noise import ScaleNoise
from pourcoach.estimation.noise.whitening import Array, Means
from pourcoach.estimation.pours.pour_readings import PourReadings
from pourcoach.estimation.pours.steady_part import before_slow_ramp, mean_flow, unread_s


def means_at(*times_s: float) -> Means:
    times = np.array(times_s)
    return Means(times, times[:, None], np.ones((times.size, 1)), 5.0 * times)


@pytest.mark.parametrize(("gap_s", "unread"), [(0.27, 0.0), (0.35, 0.35)])
def test_of_a_fast_scale_a_third_of_a_second_is_a_hole(gap_s: float, unread: float) -> None:
    before = [0.08 * n for n in range(1, 21)]
    after = [before[-1] + gap_s + 0.08 * n for n in range(20)]
    means = means_at(*before, *after)
    assert unread_s(means, 0.0, after[-1] + 0.08) == pytest.approx(unread)


@pytest.mark.parametrize(("period_s", "gap_s", "unread"), [(0.2, 0.5, 0.0), (0.2, 0.7, 0.7)])
def test_of_a_slow_one_three_of_its_steps(period_s: float, gap_s: float, unread: float) -> None:
    before = [period_s * n for n in range(1, 21)]
    after = [before[-1] + gap_s + period_s * n for n in range(20)]
    means = means_at(*before, *after)
    assert unread_s(means, 0.0, after[-1] + period_s) == pytest.approx(unread)


@pytest.mark.parametrize(("readings", "flow_gps"), [(7, None), (8, 5.0)])
def test_a_mean_flow_needs_eight_readings(readings: int, flow_gps: float | None) -> None:
    times_s = [0.1 * n for n in range(readings)]
    steady = PourReadings(times_s, [5.0 * t_s for t_s in times_s], ScaleNoise(0.0025))
    assert mean_flow(steady) == (None if flow_gps is None else pytest.approx(flow_gps))


def falling(flows_gps: Array) -> PourReadings:
    """Eight seconds of 5 g/s, then this flow, twenty times a second."""
    flows = np.concatenate([np.full(160, 5.0), flows_gps])
    times_s = 0.05 * np.arange(len(flows))
    return PourReadings(times_s.tolist(), np.cumsum(0.05 * flows).tolist(), ScaleNoise(0.0025))


def test_a_flow_that_fades_to_nothing_is_a_slow_scales() -> None:
    """It has left where it is down to three fifths."""
    steady = falling(5.0 * np.exp(-0.05 * np.arange(45) / 0.5))
    assert before_slow_ramp(steady, 5.0) == pytest.approx(8.0, abs=0.25)


def test_a_trickle_that_ends_is_a_hands() -> None:
    steady = falling(np.linspace(5.0, 1.0, 40))
    assert before_slow_ramp(steady, 5.0) == steady.times_s[-1]
