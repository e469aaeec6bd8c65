"""Noise that fades over a time of its own, taken off means of neighbouring readings.

The covariance of white noise plus a sum of relaxations ``a exp(-|Δt|/τ)`` is semiseparable, so its
Cholesky factor takes as many steps as there are readings (Foreman-Mackey, Agol, Ambikasaran &
Angus 2017, "Fast and scalable Gaussian process modeling", Astronomical J. 154:220). That of means
of neighbours is so too, with factors of its own.
"""

from collections.abc import Generator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# Means factored before time is given back: about a millisecond's work.
SLICE = 40


@dataclass(frozen=True, slots=True)
class Means:
    """Readings taken together with their neighbours: rows are means, columns the readings of one,
    the last repeated with no share where there are fewer."""

    times_s: Array
    """(n,) of the means."""
    members_s: Array
    """(n, m) of the readings."""
    shares: Array
    """(n, m), each row 1 in all."""
    grams: Array
    """(n,)"""

    @property
    def counts(self) -> Array:
        """(n,) readings in each mean."""
        counts: Array = np.count_nonzero(self.shares, axis=1).astype(np.float64)
        return counts

    def of(self, values: Array) -> Array:
        """Means of a function of time, whose values at ``members_s`` are (n, m, …)."""
        means: Array = np.einsum("nm,nm...->n...", self.shares, values)
        return means

    def kept(self, which: NDArray[np.bool_]) -> "Means":
        """Those alone."""
        return Means(
            self.times_s[which], self.members_s[which], self.shares[which], self.grams[which]
        )


@dataclass(frozen=True, slots=True)
class Relaxation:
    """Noise whose correlation fades as ``exp(-|Δt|/τ)``, under each of ``g`` hypotheses."""

    variances: Array
    """(g,)"""
    fades_s: Array
    """(g,) τ."""


def whiten(
    means: Means, white: Array, relaxations: tuple[Relaxation, ...], rows: Array
) -> Generator[None, None, tuple[Array, Array]]:
    """``rows`` (n, k) with their noise made white and of variance 1 under each hypothesis,
    (g, n, k), and the logarithm of the covariance's determinant, (g,).

    ``white`` (n,) is the variance of each mean beside the relaxations. Yields between slices.
    """
    variances = np.stack([one.variances for one in relaxations])
    rates = 1.0 / np.stack([one.fades_s for one in relaxations])
    off_s = means.members_s - means.times_s[:, None]
    grown = np.exp(rates[:, :, None, None] * off_s)
    ahead = variances[:, :, None] * np.sum(grown * means.shares, axis=3)
    behind = np.sum(means.shares / grown, axis=3)
    apart_s = np.abs(off_s[:, :, None] - off_s[:, None, :])
    pairs = means.shares[:, :, None] * means.shares[:, None, :]
    within = np.sum(np.exp(-rates[:, :, None, None, None] * apart_s) * pairs, axis=(3, 4))
    diagonal = white + np.sum(variances[:, :, None] * within, axis=0)
    fades = np.exp(-rates[:, :, None] * np.diff(means.times_s, prepend=means.times_s[0]))
    hypotheses, count = diagonal.shape
    carried = np.zeros((len(relaxations), len(relaxations), hypotheses))
    known = np.zeros((len(relaxations), hypotheses, rows.shape[1]))
    left = np.empty((count, hypotheses, rows.shape[1]))
    pivots = np.empty((count, hypotheses))
    # Of each mean in turn, so that the loop need not cut them out.
    fades, ahead, behind = (one.transpose(2, 0, 1).copy() for one in (fades, ahead, behind))
    both_fade = fades[:, :, None] * fades[:, None]
    for i in range(count):
        if i % SLICE == SLICE - 1:
            yield
        row = behind[i]
        carried *= both_fade[i]
        known *= fades[i, :, :, None]
        held = np.add.reduce(carried * row, axis=1)
        pivot = diagonal[:, i] - np.add.reduce(row * held, axis=0)
        gain = (ahead[i] - held) / pivot
        unknown = rows[i] - np.add.reduce(row[:, :, None] * known, axis=0)
        carried += pivot * gain[:, None] * gain[None]
        known += gain[:, :, None] * unknown
        left[i], pivots[i] = unknown, pivot
    left /= np.sqrt(pivots)[:, :, None]
    return left.transpose(1, 0, 2), np.log(pivots).sum(axis=0)
