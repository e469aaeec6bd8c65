"""What a stretch of a pour says of the hand, under many kinds of hand and of drumming at once."""

import math
from collections.abc import Generator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourcoach.domain.units import Seconds
from pourcoach.estimation.noise.whitening import Array, Means, Relaxation, Whitening
from pourcoach.estimation.pours.flow_series import MEAN_FLOW, MEAN_PRECISION, FlowSeries
from pourcoach.estimation.pours.scatter import Scatter

# Of a matrix product, so that each takes some milliseconds.
ROWS_AT_A_TIME = 64
# Matrices factored in one slice, some milliseconds' work.
FACTORED_AT_A_TIME = 100
# More than any fit explains, so that the bordered matrix stays positive definite.
BORDER = 1e30


class SliceBudget:
    """Says when a slice's work is done."""

    def __init__(self) -> None:
        self._factored = 0

    def due(self, matrices: int) -> bool:
        """Whether it is after so many more."""
        self._factored += matrices
        if self._factored < FACTORED_AT_A_TIME:
            return False
        self._factored = 0
        return True


@dataclass(frozen=True, slots=True)
class FlowEvidence:
    """The readings of a stretch, boiled down to their normal equations.

    First axis: the kinds of drumming.
    """

    series: FlowSeries
    normal: Array
    """(g, p, p)"""
    right: Array
    """(g, p)"""
    constant: Array
    """(g,) what every hand's log likelihood has in common."""

    def log_likelihoods(self, drummings: NDArray[np.intp], precisions: Array) -> Array:
        """(d, h) of these kinds of drumming and of hands with these ``precisions`` (h, p), but for
        a constant."""
        quick = self.series.quick
        first, count = np.count_nonzero(quick), len(quick)
        order = np.argsort(~quick, kind="stable")
        # One more row and column of the right side: their factor is the whitened fit.
        bordered = np.empty((len(drummings), 1, count + 1, count + 1))
        bordered[:, 0, :count, :count] = self.normal[drummings][:, order[:, None], order]
        right = self.right[drummings][:, order]
        bordered[:, 0, count, :count] = bordered[:, 0, :count, count] = right
        bordered[:, 0, count, count] = BORDER
        # Hands that differ in their slow waves alone have the first columns of the factor in
        # common, and what these leave of the rest.
        _, chosen, of_hand = np.unique(
            precisions[:, order[0]], return_index=True, return_inverse=True
        )
        factor = np.linalg.cholesky(_with_diagonal(bordered, precisions[chosen][:, order]))
        below = factor[:, :, first:, :first]
        left = bordered[:, :, first:, first:] - below @ below.swapaxes(2, 3)
        rest = np.linalg.cholesky(_with_diagonal(left[:, of_hand], precisions[:, order[first:]]))
        logs = _log_determinant(factor[:, :, :first, :first])[:, of_hand]
        logs += _log_determinant(rest[:, :, :-1, :-1])
        explained = np.sum(below[:, :, -1] ** 2, axis=2)[:, of_hand]
        explained += np.sum(rest[:, :, -1, :-1] ** 2, axis=2)
        prior = 0.5 * np.log(precisions).sum(axis=1)
        logs_h: Array = self.constant[drummings][:, None] + 0.5 * explained - logs + prior
        return logs_h

    def moments(self, drummings: NDArray[np.intp], precisions: Array) -> tuple[Array, Array]:
        """Mean (n, p) and covariance (n, p, p) of the coefficients once the readings are known,
        under kinds of drumming (n,) each with a hand of these ``precisions`` (n, p)."""
        posterior = self.normal[drummings]
        at = np.arange(precisions.shape[1])
        posterior[:, at, at] += precisions
        covariance = np.asarray(np.linalg.inv(posterior), np.float64)
        return np.einsum("npq,nq->np", covariance, self.right[drummings]), covariance


@dataclass(frozen=True, slots=True)
class Stretch:
    """The readings of a stretch that are believed, in units of the pour's mean flow."""

    series: FlowSeries
    fit: Array
    """(p,) coefficients of its flow, about."""
    means: Means
    whitening: Whitening
    """Of what each coefficient of the series adds to each mean, and of the means, (n, p + 1)."""
    rest: tuple[float, Seconds] | None
    """Noise at rest that fades: its variance, and within what time."""
    scatter: Scatter

    def flow_between(self, times_s: Array) -> Array:
        """At those of the moments that lie in the stretch, in units of the mean flow."""
        inside = (times_s >= self.series.from_s) & (times_s < self.series.to_s)
        flow: Array = self.series.flow_rows(times_s[inside]) @ self.fit
        return flow

    def noise(self, drumming: Relaxation) -> tuple[Relaxation, ...]:
        """All that fades."""
        if self.rest is None:
            return (drumming,)
        variance, fades_s = self.rest
        same = np.ones(len(drumming.fades_s))
        return drumming, Relaxation(variance * same, fades_s * same)

    def weigh(self, drumming: Relaxation) -> Generator[None, None, FlowEvidence]:
        """The evidence under each kind of drumming."""
        whitened, log_determinant = self.whitening.under(self.noise(drumming))
        yield
        normal = np.zeros((len(whitened), whitened.shape[2], whitened.shape[2]))
        for first in range(0, whitened.shape[1], ROWS_AT_A_TIME):
            some = whitened[:, first : first + ROWS_AT_A_TIME]
            normal += some.transpose(0, 2, 1) @ some
            yield
        right = normal[:, :-1, -1].copy()
        right[:, MEAN_FLOW] += MEAN_PRECISION
        constant = -0.5 * (normal[:, -1, -1] + log_determinant)
        return FlowEvidence(self.series, normal[:, :-1, :-1], right, constant)


def _with_diagonal(matrices: Array, added: Array) -> Array:
    """(d, h, q, q): matrices (d, h or 1, q, q) with ``added`` (h, p) on their first diagonal
    elements."""
    kinds, _, count, _ = matrices.shape
    made = np.empty((kinds, len(added), count, count))
    made[:] = matrices
    at = np.arange(added.shape[1])
    made[:, :, at, at] += added
    return made


def _log_determinant(factors: NDArray[np.floating]) -> Array:
    """(d, h) half of it, from the factors (d, h, q, q)."""
    logs: Array = np.log(np.diagonal(factors, axis1=2, axis2=3)).sum(axis=2)
    return logs


def root_mean(mean: float, variance: float) -> tuple[float, float]:
    """Mean and standard deviation of the root of a quantity above 0, taken to follow a gamma
    distribution, as a quadratic form of normal deviates about does (Patnaik 1949, Biometrika
    36:202, who fits a scaled chi-square; from memory)."""
    shape = mean * mean / variance if variance > 0.0 else math.inf
    if shape > 1e4:
        root = math.sqrt(mean)
        return root, 0.5 * math.sqrt(variance) / root if root > 0.0 else 0.0
    root = math.sqrt(mean / shape) * math.exp(math.lgamma(shape + 0.5) - math.lgamma(shape))
    return root, math.sqrt(max(mean - root * root, 0.0))
