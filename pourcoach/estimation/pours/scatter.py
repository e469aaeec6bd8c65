"""How readings scatter within the means that they are taken together in.

Hands are too slow to be seen in the difference of the two halves of a mean, which is next to
independent of the mean itself: what it says of the noise comes for the cost of its mean square.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourcoach.estimation.noise.whitening import Array, Means, Relaxation


@dataclass(frozen=True, slots=True)
class Halves:
    """Differences between the later and the earlier half of each whole mean."""

    which: NDArray[np.bool_]
    """(n,) the means that have all their readings."""
    differences: Array
    """(n,) in seconds of the mean flow."""
    apart_s: Array
    """(n,) between the middles of the halves."""
    offsets_s: Array
    """(m,) of the readings of a mean from its middle, on average."""
    weights: Array
    """(m,) of them in the difference."""
    white_var: float
    """Of a reading beside noise that fades."""


@dataclass(frozen=True, slots=True)
class Scatter:
    """Of such differences, once what the flow makes of them is taken off."""

    count: int
    square: float
    """Their mean square, in s²."""
    halves: Halves

    def log_likelihoods(self, relaxations: tuple[Relaxation, ...]) -> Array:
        """(g,) of hypotheses of noise that fades."""
        if not self.count:
            return np.zeros(len(relaxations[0].fades_s))
        offsets, weights = self.halves.offsets_s, self.halves.weights
        apart_s = np.abs(offsets[:, None] - offsets)
        pairs = np.outer(weights, weights)
        variance = self.halves.white_var * float(np.sum(weights * weights)) + sum(
            one.variances
            * np.sum(np.exp(-apart_s / one.fades_s[:, None, None]) * pairs, axis=(1, 2))
            for one in relaxations
        )
        log_likelihood: Array = -0.5 * self.count * (np.log(variance) + self.square / variance)
        return log_likelihood


def halves(means: Means, members: Array, white_var: float) -> Halves:
    """Of readings ``members`` (n, m) in seconds of the mean flow."""
    count = means.shares.shape[1]
    which = means.counts == count
    middle = count // 2
    weights = np.zeros(count)
    if count > 1:
        weights[:middle], weights[count - middle :] = -1.0 / middle, 1.0 / middle
    offsets_s = means.members_s - means.times_s[:, None]
    return Halves(
        which=which & (count > 1),
        differences=members @ weights,
        apart_s=offsets_s @ weights,
        offsets_s=offsets_s[which].mean(axis=0) if which.any() else np.zeros(count),
        weights=weights,
        white_var=white_var,
    )


def scatter(halves: Halves, flows: Array, good: NDArray[np.bool_]) -> Scatter:
    """Of the ``good`` (n,) means, where the reading rises with ``flows`` (n,)."""
    off = (halves.differences - halves.apart_s * flows)[halves.which & good]
    return Scatter(len(off), float(np.mean(off * off)) if len(off) else 0.0, halves)
