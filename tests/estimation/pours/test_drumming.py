"""Kinds of drumming thought possible."""

import numpy as np
import pytest

from pourcoach.estimation.pours.drumming import coarse


def test_no_strength_is_expected_before_any_reading():
    drummings = coarse()
    drums = drummings.strengths_s > 0.0
    assert np.ptp(drummings.log_prior[drums]) == pytest.approx(0.0)
    assert drummings.strengths_s[drums].min() == pytest.approx(0.004)
    assert drummings.strengths_s.max() == pytest.approx(0.085)
