"""First and last water, with the ramp that a hinge leaves out."""

import numpy as np
import pytest

from pourcoach.estimation.pours.hinge import fit_rise
from pourcoach.estimation.pours.ramp import fit_end, fit_start


def ramped(t, ramp_s, flow):
    s = np.maximum(t, 0.0)
    return flow * np.where(s < ramp_s, s * s / (2 * ramp_s), s - ramp_s / 2)


@pytest.mark.parametrize("ramp_s", [0.2, 0.36])
def test_a_clean_ramp_is_placed_where_it_begins(ramp_s):
    t = np.arange(-1.5, 0.6, 0.025) + 40.0
    y = 250.0 + ramped(t - 40.0, ramp_s, 5.0)
    start = fit_start(t.tolist(), y.tolist(), 0.01**2)
    hinge = fit_rise(t.tolist(), y.tolist())
    assert start is not None
    assert hinge is not None
    assert start.t_s == pytest.approx(40.0, abs=0.012)
    assert start.level_g == pytest.approx(250.0, abs=0.005)
    assert hinge.t_s - 40.0 > 0.3 * ramp_s  # what the ramp is fitted for
    # What a platform's own answer may shift it by is left of a clean one.
    assert 0.0135 < start.t_error_s < 0.0195


def weighed(t, ramp_s, flow, fall_s):
    """A start at 0 as a scale shows it: water that has fallen, and its push."""
    s = t - fall_s
    return ramped(s, ramp_s, flow) + fall_s * flow * np.clip(s / ramp_s, 0.0, 1.0)


def test_a_start_that_each_step_would_move_to_and_fro_is_placed():
    """Drumming makes a wave of it, and the weight of each reading hangs on the flow there."""
    t = np.arange(-1.7, 0.5, 0.05)
    wave = [0.07, -0.02, -0.12, -0.13, 0.15, 0.35, 0.5, 0.53, 0.55, 0.9, 1.12, 1.35, 1.49, 1.91]
    y = np.concatenate([0.01 * np.cos(9.0 * t[: -len(wave)]), wave])
    start = fit_start(t.tolist(), y.tolist(), 0.034**2, 0.135, 0.042)
    assert start is not None
    assert start.t_s == pytest.approx(-0.2, abs=0.15)
    assert 0.015 < start.t_error_s < 0.2


@pytest.mark.parametrize("fall_s", [0.0, 0.1, 0.17])
@pytest.mark.parametrize("ramp_s", [0.2, 0.36])
def test_the_first_water_is_that_at_the_spout(ramp_s, fall_s):
    t = np.arange(-1.5, 0.8, 0.025)
    y = 250.0 + weighed(t, ramp_s, 5.0, fall_s)
    start = fit_start(t.tolist(), y.tolist(), 0.01**2, fall_s)
    assert start is not None
    assert start.t_s == pytest.approx(0.0, abs=0.012)
    assert start.level_g == pytest.approx(250.0, abs=0.005)


@pytest.mark.parametrize("noise_g", [0.01, 0.03])
@pytest.mark.parametrize("ramp_s", [0.2, 0.3, 0.4])
def test_what_a_longer_fall_moves_is_known(ramp_s, noise_g):
    """As far as a longer fall in truth moves what is fitted with the usual one, the other way."""
    t = np.arange(-1.5, 1.5, 0.025)
    noise = noise_g * np.random.default_rng(4).standard_normal(len(t))

    def fits(fall_s):
        y = weighed(t, ramp_s, 5.0, 0.135) + noise
        until = (t < 0.8).tolist().index(False)
        start = fit_start(t[:until].tolist(), y[:until].tolist(), noise_g**2, fall_s, 0.012)
        left = 0.135 - t
        stopping = 0.135 * 5.0 * np.clip(left / ramp_s, 0.0, 1.0) - ramped(left, ramp_s, 5.0)
        end = fit_end(t.tolist(), (stopping + noise).tolist(), noise_g**2, fall_s, 0.012)
        return start, end

    for shorter, usual, longer in zip(*map(fits, (0.132, 0.135, 0.138)), strict=True):
        assert (longer.t_s - shorter.t_s) / 0.006 == pytest.approx(usual.t_by_fall, abs=0.2)
        by_level = (longer.level_g - shorter.level_g) / 0.006
        assert by_level == pytest.approx(usual.level_by_fall_gps, abs=0.1)


@pytest.mark.parametrize("fall_s", [0.0, 0.1, 0.17])
@pytest.mark.parametrize("ramp_s", [0.12, 0.3])
def test_the_last_water_is_that_at_the_spout(ramp_s, fall_s):
    t = np.arange(-0.8, 1.5, 0.025)
    closed = np.clip(t - fall_s + ramp_s, -np.inf, ramp_s)  # since the spout began to close
    fallen = 5.0 * (closed - np.maximum(closed, 0.0) ** 2 / (2.0 * ramp_s))
    flow = 5.0 * (1.0 - np.maximum(closed, 0.0) / ramp_s)
    y = 100.0 + fallen + fall_s * flow
    end = fit_end(t.tolist(), y.tolist(), 0.01**2, fall_s)
    assert end is not None
    assert end.t_s == pytest.approx(0.0, abs=0.012)
    assert end.level_g == pytest.approx(100.0 + 5.0 * ramp_s / 2.0, abs=0.005)


def test_its_standard_error_is_what_it_says():
    """Over noisy starts of many ramps, the errors are as large as stated: within a third."""
    rng = np.random.default_rng(8)
    errors, stated = [], []
    for _ in range(120):
        t = np.arange(-1.5, 0.6, 0.1) + rng.uniform(0.0, 0.1)
        y = ramped(t, rng.uniform(0.15, 0.5), rng.uniform(3, 8)) + 0.04 * rng.standard_normal(
            len(t)
        )
        start = fit_start(t.tolist(), y.tolist(), 0.04**2)
        assert start is not None
        errors.append(start.t_s)
        stated.append(start.t_error_s)
    assert np.sqrt(np.mean(np.square(errors))) == pytest.approx(
        np.sqrt(np.mean(np.square(stated))), rel=0.33
    )
    assert abs(np.mean(errors)) < 0.012


def test_too_few_readings_give_none():
    assert fit_start([0.0, 0.1, 0.2], [0.0, 0.0, 1.0], 0.01) is None
