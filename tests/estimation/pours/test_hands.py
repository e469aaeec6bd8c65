"""What is expected of a hand before any reading."""

import numpy as np
import pytest

from pourcoach.estimation.pours.flow_series import FlowSeries
from pourcoach.estimation.pours.hands import HANDS, LOG_PRIOR

# Written out: what is imported would hold whatever it is.
QUICK_HZ = 0.6


def expected(figures):
    """Of one figure a hand, (h,), the mean."""
    return float(np.exp(LOG_PRIOR) @ figures / np.exp(LOG_PRIOR).sum())


def test_a_usual_hand_wanders_as_much_as_hands_do_and_a_third_of_it_quickly():
    """0.07 to 0.28 in common practice, or 0.14, less what a series of 9 s has no wave for."""
    series = FlowSeries(0.0, 9.0, 0.13)
    variances = series.wave_variances(*np.array(HANDS).T)[:, : len(series.waves_hz)]
    whole, quick = variances.sum(axis=1), variances[:, series.waves_hz > QUICK_HZ].sum(axis=1)
    assert np.exp(expected(np.log(np.sqrt(whole)))) == pytest.approx(0.118, abs=0.004)
    assert expected(quick / whole) == pytest.approx(0.305, abs=0.03)


def test_very_steady_and_very_uneven_hands_are_expected_too():
    series = FlowSeries(0.0, 9.0, 0.13)
    variances = series.wave_variances(*np.array(HANDS).T)[:, : len(series.waves_hz)]
    logs = 0.5 * np.log(variances.sum(axis=1))
    spread = expected((logs - expected(logs)) ** 2) ** 0.5
    assert np.exp(spread) == pytest.approx(2.13, abs=0.08)
