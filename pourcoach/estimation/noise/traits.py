"""What a scale is like, learnt from its own readings at rest."""

import math

from pourcoach.domain.estimate import ScaleTraits
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.noise.scale_noise import (
    HIDDEN_SHARE,
    LEAST_VAR,
    ROUNDING_SHARE,
    ScaleNoise,
)

# Believed of a scale before it has shown itself: 0.05 g of noise, worth this many readings.
PRIOR_NOISE_G = 0.05
PRIOR_WEIGHT = 8.0
# Readings of rest that are remembered, and that must be seen before noise is reported.
MEMORY = 400.0
LEAST_READINGS = 20
# The step believed of a scale that has not yet shown two different weights (common practice).
UNSEEN_STEP_G = 0.1
# A weight that creeps (evaporation, drift) lies off its level by a mean over so many readings, and
# that is no noise: taken for it, noise would be believed the more the weight creeps, the level
# would follow the less, and lie off the more.
CREEP_OVER = 32.0
# Correlation from reading to reading that is believed; more is a weight that moves.
MOST_CORRELATION = 0.75
# Differences below this are arithmetic, not steps.
LEAST_STEP_G = 1e-4


class TraitsLearner:
    """Noise and step size, so that an unknown scale needs no setting."""

    __slots__ = (
        "_colour",
        "_correlation",
        "_count",
        "_creep_g",
        "_last_error_g",
        "_last_g",
        "_least_var",
        "_product",
        "_rest_var",
        "_step_g",
        "_weight",
    )

    def __init__(self) -> None:
        self._weight = PRIOR_WEIGHT
        self._count = 0
        self._step_g: Grams | None = None
        self._last_g: Grams | None = None
        self._rest_var = PRIOR_NOISE_G**2
        self._least_var = _least_var(UNSEEN_STEP_G)
        self._last_error_g = 0.0
        self._creep_g = 0.0
        self._product = 0.0
        self._colour = 1.0
        self._correlation = 0.0

    @property
    def noise_var(self) -> float:
        """Variance of one reading of a weight on the move, rounding included, g².

        Where the noise hangs together from reading to reading it is that of white noise of the
        same power at low frequencies, which is what a level or a slope is off by: with lag-1
        autocorrelation ρ, ``(1 + ρ)/(1 - ρ)`` times the variance of one reading (Bartlett 1946,
        J. Royal Statistical Society Supplement 8:27; from memory).
        """
        noise_var = self._rest_var * self._colour
        return noise_var if noise_var > self._least_var else self._least_var

    @property
    def scale_noise(self) -> ScaleNoise:
        """Noise at rest with its colour."""
        return ScaleNoise(self._rest_var, self._correlation, self.rounding_g)

    @property
    def rest_noise_g(self) -> Grams:
        """Standard deviation of one reading at rest."""
        return math.sqrt(self._rest_var)

    @property
    def rounding_g(self) -> Grams:
        """The step of the scale, as far as one may believe it by now."""
        return UNSEEN_STEP_G if self._step_g is None else self._step_g

    def see(self, grams: Grams) -> None:
        """A raw reading, whatever the platform does."""
        if self._last_g is not None:
            change = abs(grams - self._last_g)
            if change > LEAST_STEP_G and (self._step_g is None or change < self._step_g):
                self._step_g = round(change, 6)
                self._least_var = _least_var(self._step_g)
        self._last_g = grams

    def rest(self, error_g: Grams, level_var: float) -> None:
        """A reading on a quiet platform: its distance from a level known with ``level_var``."""
        self._count += 1
        if self._weight < MEMORY:
            self._weight += 1.0
        # The spread of the error shared out between the level's doubt and the noise; a reading
        # beyond three deviations is as likely the edge of a pour, and counts as three.
        off_g, error_g = error_g, error_g - self._creep_g
        self._creep_g += (off_g - self._creep_g) / min(self._count, CREEP_OVER)
        expected = self._rest_var + level_var
        most = 3.0 * math.sqrt(expected)
        if error_g > most:
            error_g = most
        elif error_g < -most:
            error_g = -most
        seen = error_g * error_g * self._rest_var / expected
        self._rest_var += (seen - self._rest_var) / self._weight
        self._product += (error_g * self._last_error_g - self._product) / self._weight
        self._last_error_g = error_g
        rho = self._product / (self._rest_var + LEAST_VAR)
        self._correlation = rho = min(max(rho, 0.0), MOST_CORRELATION)
        self._colour = (1.0 + rho) / (1.0 - rho)

    def traits(self, period_s: Seconds | None) -> ScaleTraits:
        """As far as they can be said."""
        told = self._count >= LEAST_READINGS
        return ScaleTraits(
            rate_hz=1.0 / period_s if period_s else None,
            noise_g=self.rest_noise_g if told else None,
            step_g=self._step_g if told else None,
        )


def _least_var(step_g: Grams) -> float:
    """A coarse scale may show no spread at all at rest, and still err on the move: by its rounding,
    spread evenly over a step, and by noise hidden in it, taken as a quarter of a step."""
    return step_g * step_g * (ROUNDING_SHARE + HIDDEN_SHARE) + LEAST_VAR
