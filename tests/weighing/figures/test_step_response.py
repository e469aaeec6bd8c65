import math
from dataclasses import replace

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.figures.step_response import step_response
from tests.weighing.readings import readings


def test_a_first_order_step_takes_2_2_time_constants():
    """From a tenth to nine tenths: ln 9 time constants, by the exponential itself."""
    found = step_response(
        readings(4, lambda t: 200.0 if t < 1 else 200 * math.exp(-(t - 1) / 0.1), hz=200)
    )
    assert found.size_g == pytest.approx(-200.0)
    assert found.rise_s == pytest.approx(0.1 * math.log(9), rel=0.02)


def test_a_filter_over_four_samples_at_ten_hertz_settles_over_0_32_s():
    ramp = readings(4, lambda t: 100 * min(max((t - 1) / 0.4, 0), 1), hz=10)
    assert step_response(ramp).rise_s == pytest.approx(0.32, rel=0.01)


def test_the_scale_s_own_stamps_are_better_than_arrival_in_bursts():
    smooth = readings(4, lambda t: 100 * min(max((t - 1) / 0.4, 0), 1), hz=50)
    burst = [
        replace(one, t_s=math.ceil(one.t_s / 0.3) * 0.3, device_s=7 + one.t_s) for one in smooth
    ]
    assert step_response(burst).rise_s == pytest.approx(0.32, rel=0.01)


def test_no_step_is_refused():
    with pytest.raises(UsageError, match="changed by only"):
        step_response(readings(2, 100.0, noise_g=0.05))
