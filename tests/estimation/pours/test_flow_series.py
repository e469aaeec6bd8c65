"""The flow of a stretch as a series of waves."""

import numpy as np
import pytest

from pourcoach.estimation.pours.flow_series import FlowSeries


def test_beyond_the_highest_wave_the_spectrum_goes_on_falling():
    """By the fourth power from 1.2 Hz on, as the waves themselves do."""
    series = FlowSeries(0.0, 10.0, 0.13)
    quick = 0.2
    beyond = series.beyond(series.precisions(np.array([0.1]), np.array([quick])))
    hz = np.arange(2.4, 100.0, 0.01)
    fallen = quick**2 * float(np.sum((1.2 / hz) ** 4)) * 0.01
    assert beyond == pytest.approx([fallen], rel=0.02)
