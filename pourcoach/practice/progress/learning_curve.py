"""How errors fall with practice: A + B exp(-a N), fitted to one person's pours.

In 7910 series of 475 people the exponential fitted better than a power of N wherever series were
not averaged over people (Heathcote, Brown and Mewhort 2000); so it is never fitted to a class's
mean.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

LEAST_POURS = 8
"""Three parameters and some freedom left; common practice."""
_RATES = np.geomspace(0.02, 2.0, 60)
"""From two thirds learnt in fifty pours to nearly all in two."""
_POINTS = 40
"""A tail of 2.5 % has one of each normal."""


@dataclass(frozen=True, slots=True)
class LearningCurve:
    """Of the size of errors, in their unit."""

    level: float
    """A: where the errors are heading."""
    gain: float
    """B: how much larger they were at the beginning; not below 0."""
    rate: float
    """a: a pour's share of what is left to be learnt, about."""
    level_interval: tuple[float, float]
    """95 %, over all rates by how well each fits."""
    pours: int

    def at(self, pour: float) -> float:
        """The error to be expected of a pour, counted from 0."""
        return float(self.level + self.gain * np.exp(-self.rate * pour))


def learning_curve(errors: Sequence[float]) -> LearningCurve | None:
    """From sizes of errors in the order they were made; None with fewer than LEAST_POURS.

    Least squares for each rate of a grid. The interval is of a mixture of normals, one a rate, each
    weighed by its likelihood with the noise left out of it.
    """
    count = len(errors)
    if count < LEAST_POURS:
        return None
    sizes = np.asarray(errors, dtype=np.float64)
    number = np.arange(count, dtype=np.float64)
    fits = [_fit(sizes, np.exp(-rate * number)) for rate in _RATES]
    left = np.array([max(fit[2], 1e-12) for fit in fits])
    weights = (left / left.min()) ** (-(count - 2) / 2)
    weights /= weights.sum()
    best = int(np.argmin(left))
    levels = np.array([fit[0] for fit in fits])
    spreads = np.array([fit[3] for fit in fits])
    # Quantiles of the mixture from a sample of each normal at fixed points: no chance in it.
    points = _normal_points()
    values = (levels[:, None] + spreads[:, None] * points).ravel()
    shares = np.repeat(weights / points.size, points.size)
    order = np.argsort(values)
    below = np.cumsum(shares[order])
    low, high = (float(values[order][np.searchsorted(below, share)]) for share in (0.025, 0.975))
    level, gain = fits[best][0], fits[best][1]
    return LearningCurve(level, gain, float(_RATES[best]), (max(low, 0.0), high), count)


def _fit(sizes: np.ndarray, falls: np.ndarray) -> tuple[float, float, float, float]:
    """Level, gain, sum of squares left, standard error of the level. Errors never grow with
    practice: a gain below 0 is none, and a level below 0 is 0."""
    count, fall, square = sizes.size, float(falls.sum()), float(falls @ falls)
    # The normal equations of a straight line in the fall, in closed form.
    spread = count * square - fall**2
    gain = (count * float(falls @ sizes) - fall * float(sizes.sum())) / spread
    level = (float(sizes.sum()) - gain * fall) / count
    if gain < 0.0:
        level, gain = float(sizes.mean()), 0.0
    elif level < 0.0:
        level, gain = 0.0, float(falls @ sizes) / square
    left = float(((sizes - level - gain * falls) ** 2).sum())
    error = (left / (count - 2) * square / spread) ** 0.5
    return level, gain, left, error


def _normal_points() -> np.ndarray:
    """Of the standard normal, each in the middle of an equal share of it."""
    normal = NormalDist()
    return np.array([normal.inv_cdf((n + 0.5) / _POINTS) for n in range(_POINTS)])
