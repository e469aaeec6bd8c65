"""Noise that fades over a time of its own, taken off means of neighbouring readings.

The covariance of white noise plus a sum of relaxations ``a exp(-|Δt|/τ)`` is semiseparable, so its
Cholesky factor takes as many steps as there are readings (Foreman-Mackey, Agol, Ambikasaran &
Angus 2017, "Fast and scalable Gaussian process modeling", Astronomical J. 154:220). That of means
of neighbours is so too, with factors of its own.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import reduce

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


@dataclass(frozen=True, slots=True)
class _Fading:
    """What means have in common by a relaxation, under each hypothesis.

    What a mean has in common with a later one is ``ahead`` of the one times ``behind`` of the
    other, and fades in between.
    """

    rates: Array
    """(f,) 1/τ, each once: many hypotheses share theirs."""
    which: NDArray[np.intp]
    """(g,) the place of each hypothesis's among them."""
    ahead: Array
    """(g, n)"""
    behind: Array
    """(g, n)"""
    within: Array
    """(g, n) the variance of each mean."""

    def left(self, passed_s: Array) -> Array:
        """(g, ...): the share that has not faded after so long."""
        rates = self.rates.reshape(-1, *[1] * passed_s.ndim)
        left: Array = np.exp(-rates * passed_s)[self.which]
        return left


class Whitening:
    """Makes the noise of means white, in rows of figures of them, under many hypotheses at once.

    What depends on the readings alone is worked out when it is made.
    """

    __slots__ = ("_apart_s", "_means", "_off_s", "_pairs", "_patterns", "_rows", "_white")

    def __init__(self, means: Means, white: Array, rows: Array) -> None:
        """``white`` (n,) is the variance of each mean beside the relaxations; ``rows`` (n, k)."""
        self._means, self._white, self._rows = means, white, rows
        self._off_s = means.members_s - means.times_s[:, None]
        # Most means have their readings at the same distances from their middle.
        rounded = np.round(np.concatenate([self._off_s, means.shares], axis=1), 9)
        patterns: dict[bytes, int] = {}  # numpy.unique would sort them, at ten times the cost.
        places = [patterns.setdefault(row.tobytes(), len(patterns)) for row in rounded]
        self._patterns = np.array(places)
        each = np.frombuffer(b"".join(patterns)).reshape(len(patterns), -1)
        off_s, shares = np.split(each, 2, axis=1)
        self._apart_s = np.abs(off_s[:, :, None] - off_s[:, None, :])
        self._pairs = shares[:, :, None] * shares[:, None, :]

    def under(self, relaxations: tuple[Relaxation, ...]) -> tuple[Array, Array]:
        """The rows with their noise made white and of variance 1 under each hypothesis, (g, n, k),
        and the logarithm of the covariance's determinant, (g,)."""
        rows, times_s = self._rows, self._means.times_s
        fadings = [self._fading(one) for one in relaxations]
        diagonal = self._white + _total(one.within for one in fadings)
        kinds, count = diagonal.shape
        blocks = [slice(first, min(first + BLOCK, count)) for first in range(0, count, BLOCK)]
        sizes = [some.stop - some.start for some in blocks]
        last_s = times_s[[some.stop - 1 for some in blocks]]
        before_s = np.concatenate([times_s[:1], last_s[:-1]])
        # From the end of the block before, and to that of the own one.
        since_s, until_s = times_s - np.repeat(before_s, sizes), np.repeat(last_s, sizes) - times_s
        taken = np.stack([one.behind * one.left(since_s) for one in fadings]).transpose(1, 2, 0)
        given = np.stack([one.ahead * one.left(until_s) for one in fadings]).transpose(1, 2, 0)
        fades = np.stack([one.left(last_s - before_s) for one in fadings]).transpose(2, 1, 0)
        carried = np.zeros((kinds, len(relaxations), len(relaxations)))
        known = np.zeros((kinds, len(relaxations), rows.shape[1]))
        left = np.empty((kinds, count, rows.shape[1]))
        log_determinant = np.zeros(kinds)
        for some, fade in zip(blocks, fades, strict=True):
            apart_s = np.abs(times_s[some, None] - times_s[some])
            # Right in the lower triangle, which is all that the factor is made from.
            covariance = _total(
                one.behind[:, some, None] * one.ahead[:, None, some] * one.left(apart_s)
                for one in fadings
            )
            at = np.arange(len(apart_s))
            covariance[:, at, at] = diagonal[:, some]
            held = taken[:, some] @ carried
            factor = np.linalg.cholesky(covariance - held @ taken[:, some].transpose(0, 2, 1))
            log_determinant += 2.0 * np.log(factor[:, at, at]).sum(axis=1)
            new = np.concatenate(
                [rows[some] - taken[:, some] @ known, given[:, some] - held * fade[:, None]],
                axis=2,
            )
            new = np.linalg.inv(factor) @ new
            left[:, some] = new[:, :, : rows.shape[1]]
            gain = new[:, :, rows.shape[1] :].transpose(0, 2, 1)
            carried = carried * fade[:, :, None] * fade[:, None] + gain @ gain.transpose(0, 2, 1)
            known = known * fade[:, :, None] + gain @ left[:, some]
        return left, log_determinant

    def _fading(self, relaxation: Relaxation) -> _Fading:
        shares, variances = self._means.shares, relaxation.variances[:, None]
        fades_s, which = np.unique(relaxation.fades_s, return_inverse=True)
        rates = 1.0 / fades_s
        grown = np.exp(rates[:, None, None] * self._off_s)
        within = np.sum(
            np.exp(-rates[:, None, None, None] * self._apart_s) * self._pairs, axis=(2, 3)
        )
        return _Fading(
            rates,
            which,
            ahead=variances * np.sum(grown * shares, axis=2)[which],
            behind=np.sum(shares / grown, axis=2)[which],
            within=variances * within[which][:, self._patterns],
        )


def _total(parts: Iterable[Array]) -> Array:
    total: Array = reduce(np.add, parts)
    return total
