"""Kinds of drumming thought possible."""

import numpy as np
import pytest

from pourcoach.estimation.pours.drumming import coarse


def unread(drummings):
    """What readings say that leave every kind as likely."""
    return np.zeros(len(drummings.fades_s))


def quick_part(variance_s):
    """What a long pour on a fast scale says: the variance of drumming by its duration, to a
    twentieth."""

    def log_likelihoods(drummings):
        found = drummings.variances / drummings.fades_s
        return -0.5 * (np.log(np.maximum(found, 1e-9) / variance_s) / 0.05) ** 2

    return log_likelihoods


def by_fade(drummings):
    """Each fade of the grid, how likely it is, and how many strengths it has."""
    drums = drummings.strengths_s > 0.0
    fades, which = np.unique(drummings.fades_s[drums], return_inverse=True)
    return fades, np.bincount(which, np.exp(drummings.log_prior[drums])), np.bincount(which)


def usual(fades_s):
    """35 ms, give or take a factor of 2."""
    return np.exp(-0.5 * (np.log(fades_s / 0.035) / np.log(2.0)) ** 2)


def test_no_strength_stands_out_before_any_reading():
    """By its logarithm the strongest is as much more likely than the weakest as the root of their
    quotient says: neither as if all logarithms were as likely, nor as if all strengths were."""
    drummings = coarse(unread)
    drums = drummings.strengths_s > 0.0
    strengths, which = np.unique(drummings.strengths_s[drums], return_inverse=True)
    by_strength = np.bincount(which, np.exp(drummings.log_prior[drums]))
    # Cells of the logarithm from 0.004 to 0.085, and each stands at the middle of one.
    half = np.sqrt(strengths[1] / strengths[0])
    assert strengths[0] / half == pytest.approx(0.004)
    assert strengths[-1] * half == pytest.approx(0.085)
    assert np.all(np.diff(by_strength) > 0.0)
    assert by_strength[-1] / by_strength[0] == pytest.approx((strengths[-1] / strengths[0]) ** 0.5)


def test_what_fades_a_little_later_than_was_measured_in_cups_is_expected():
    """35 ms, give or take a factor of 2, from 10 to 120 ms."""
    fades, likely, _ = by_fade(coarse(unread))
    assert likely / likely[0] == pytest.approx(usual(fades) / usual(fades[0]))
    half = np.sqrt(fades[1] / fades[0])
    assert fades[0] / half == pytest.approx(0.01)
    assert fades[-1] * half == pytest.approx(0.12)


@pytest.mark.parametrize("variance_s", np.geomspace(0.015, 0.06, 7))
def test_strengths_lie_where_readings_leave_them_for_every_fade(variance_s):
    """How likely a fade is does not hang on how near to it a strength of the grid comes."""
    read = quick_part(variance_s)
    first = coarse(read)
    finer = first.filled(first.log_prior, read)
    for grid in (first, finer):
        fades, likely, _ = by_fade(grid)
        # Equal to the prior of the fades, and that of the strengths, which grows with the root.
        strengths = np.sqrt(variance_s * fades)
        expected = usual(fades) * np.sqrt(strengths)
        assert likely / likely.sum() == pytest.approx(expected / expected.sum(), rel=0.2)
    assert len(by_fade(finer)[0]) >= 3
    assert set(by_fade(finer)[2]) == {3}


def test_what_readings_rule_out_is_not_looked_at():
    """A quiet pour leaves weak drumming; a kind that is ruled out for one fade may be left for
    another; where all is ruled out there is none."""

    def quiet(drummings):
        return -0.5 * drummings.variances / 0.01**2

    assert coarse(quiet).strengths_s.max() < 0.03
    assert coarse(lambda drummings: -1e4 * (drummings.variances > 0.0)).silent
    late = coarse(lambda drummings: -1e4 * (drummings.fades_s < 0.03))
    assert set(late.fades_s[late.strengths_s > 0.0]) == {max(late.fades_s)}
