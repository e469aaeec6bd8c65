"""Noise that fades over a time of its own, taken off means of neighbouring readings.

The covariance of white noise plus a sum of relaxations ``a exp(-|Δt|/τ)`` is semiseparable, so its
Cholesky factor takes as many steps as there are readings (Foreman-Mackey, Agol, Ambikasaran &
Angus 2017, "Fast and scalable Gaussian process modeling", Astronomical J. 154:220). That of means
of neighbours is so too, with factors of its own.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

# Means factored at a time: one by one costs a call of the library for each, many at once the square
# of their number.
BLOCK = 16


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
        """Return the means of a function of time from its values at ``members_s``, (n, m, …)."""
        means: Array = np.einsum("nm,nm...->n...", self.shares, values)
        return means

    def kept(self, which: NDArray[np.bool_]) -> "Means":
        """Return only the means that ``which`` selects."""
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
) -> tuple[Array, Array]:
    """``rows`` (n, k) with their noise made white and of variance 1 under each hypothesis,
    (g, n, k), and the logarithm of the covariance's determinant, (g,).

    ``white`` (n,) is the variance of each mean beside the relaxations.
    """
    times_s = means.times_s
    variances = np.stack([one.variances for one in relaxations])[:, :, None]
    rates = 1.0 / np.stack([one.fades_s for one in relaxations])[:, :, None]
    off_s = means.members_s - times_s[:, None]
    grown = np.exp(rates[..., None] * off_s)
    # What a mean has in common with a later one is ahead of the one times behind of the other,
    # and fades in between.
    ahead = variances * np.sum(grown * means.shares, axis=3)
    behind = np.sum(means.shares / grown, axis=3)
    diagonal = white + np.sum(variances * _within(means, off_s, rates), axis=0)
    kinds, count = diagonal.shape
    carried = np.zeros((kinds, len(relaxations), len(relaxations)))
    known = np.zeros((kinds, len(relaxations), rows.shape[1]))
    left = np.empty((kinds, count, rows.shape[1]))
    log_determinant = np.zeros(kinds)
    since_s = times_s[0]
    for first in range(0, count, BLOCK):
        some = slice(first, first + BLOCK)
        own_s = times_s[some]
        fades = np.exp(-rates[:, :, 0] * (own_s[-1] - since_s)).T
        # From the end of the block before, and to that of this one.
        taken = (behind[:, :, some] * np.exp(-rates * (own_s - since_s))).transpose(1, 2, 0)
        given = (ahead[:, :, some] * np.exp(-rates * (own_s[-1] - own_s))).transpose(1, 2, 0)
        since_s = own_s[-1]
        lasting = np.exp(-rates[..., None] * np.abs(own_s[:, None] - own_s))
        # Right in the lower triangle, which is all that the factor is made from.
        covariance = np.sum(behind[:, :, some, None] * ahead[:, :, None, some] * lasting, axis=0)
        at = np.arange(len(own_s))
        covariance[:, at, at] = diagonal[:, some]
        held = taken @ carried
        factor = np.linalg.cholesky(covariance - held @ taken.transpose(0, 2, 1))
        log_determinant += 2.0 * np.log(factor[:, at, at]).sum(axis=1)
        new = np.concatenate([rows[some] - taken @ known, given - held * fades[:, None]], axis=2)
        new = np.linalg.inv(factor) @ new
        left[:, some] = new[:, :, : rows.shape[1]]
        gain = new[:, :, rows.shape[1] :].transpose(0, 2, 1)
        carried = carried * fades[:, :, None] * fades[:, None] + gain @ gain.transpose(0, 2, 1)
        known = known * fades[:, :, None] + gain @ left[:, some]
    return left, log_determinant


def _within(means: Means, off_s: Array, rates: Array) -> Array:
    """(r, g, n): variances of means of noise whose own is 1."""
    # Most means have their readings at the same distances from their middle.
    patterns, places = np.unique(
        np.round(np.concatenate([off_s, means.shares], axis=1), 9), axis=0, return_inverse=True
    )
    off_s, shares = np.split(patterns, 2, axis=1)
    apart_s = np.abs(off_s[:, :, None] - off_s[:, None, :])
    pairs = shares[:, :, None] * shares[:, None, :]
    within: Array = np.sum(np.exp(-rates[..., None, None] * apart_s) * pairs, axis=(3, 4))
    return within[:, :, places.ravel()]
