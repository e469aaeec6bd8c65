"""Kinds of drumming thought possible."""

import numpy as np
import pytest

from pourcoach.estimation.pours.drumming import coarse


def weights():
    """Strengths (7,), fades (2,), and how likely each pair is before any reading, (7, 2)."""
    drummings = coarse()
    drums = drummings.strengths_s > 0.0
    strengths, fades = np.unique(drummings.strengths_s[drums]), np.unique(drummings.fades_s[drums])
    return strengths, fades, np.exp(drummings.log_prior[drums]).reshape(len(strengths), len(fades))


def test_no_strength_stands_out_before_any_reading():
    """By its logarithm the strongest is as much more likely than the weakest as the root of their
    quotient says: neither as if all logarithms were as likely, nor as if all strengths were."""
    strengths, _, likely = weights()
    assert strengths.min() == pytest.approx(0.004)
    assert strengths.max() == pytest.approx(0.085)
    by_strength = likely.sum(axis=1)
    assert np.all(np.diff(by_strength) > 0.0)
    assert by_strength[-1] / by_strength[0] == pytest.approx((0.085 / 0.004) ** 0.5)


def test_what_fades_a_little_later_than_was_measured_in_cups_is_expected():
    """35 ms, give or take a factor of 2."""
    _, fades, likely = weights()
    off = np.log(fades / 0.035) / np.log(2.0)
    assert likely[0, 0] / likely[0, 1] == pytest.approx(np.exp(0.5 * (off[1] ** 2 - off[0] ** 2)))
