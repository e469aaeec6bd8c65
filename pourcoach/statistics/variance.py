"""Variance in floating point: ``statistics.pvariance`` reckons in fractions, at fifty times the
cost."""

from collections.abc import Sequence
from statistics import fmean


def variance_about(mean: float, figures: Sequence[float]) -> float:
    """Return the mean square of what the figures are off this mean by; there is one at least."""
    return fmean([(figure - mean) ** 2 for figure in figures])
