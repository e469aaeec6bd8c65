"""Noise and step of a scale, learnt from its own readings at rest."""

import math
from collections import deque
from collections.abc import Iterable, Sequence
from operator import mul
from statistics import median_low

from pourcoach.domain.estimate import ScaleTraits, ScaleTrouble
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
# Noise is taken block by block: so many readings of rest are one, so many blocks are remembered.
BLOCK = 16
KEPT_BLOCKS = 50
# So many readings are weighed as they come, for a noise believed too small makes its own peaks look
# like water, and rest is then seen too seldom; with fewer blocks than the other none is left out.
EARLY = 64
LEAST_BLOCKS = 4
# A block this many times as restless as the median one, and those beside it, are no noise: a slow
# touch begins or ends there, or the weight still settles. Of blocks of noise whose lag-1
# autocorrelation is 0.5 one in a hundred lies so high (chi-square with ten degrees of freedom).
RESTLESS = 2.5
# Where less than this share of the blocks is quiet, the others are no exception (chosen).
LEAST_QUIET = 0.4
# So many readings are looked at together where no more than this share was of rest: noise alone
# moves the medians of their blocks apart by no more than so many deviations (19 times of 20), and
# the slowest pour by more, except of a scale too noisy to show it.
LATELY = 5 * BLOCK
MOST_RESTED = 0.5
STILL_SIGMAS = 1.2
# More is a brewer that is swirled, or a hand (assumed: no scale in use shakes so much).
LOUDEST_G = 1.0
# And a weight that has moved by more meanwhile is no noise of that size, four times of a thousand.
MOVED_G = 4.0
# A reading beyond so many deviations is as likely the edge of a pour, and counts as so many; half
# of normal deviates lie within the other.
FAR = 3.0
HALF_WITHIN = 0.6745
# Readings of rest that must be seen before noise is reported.
LEAST_READINGS = 20
# The step believed of a scale that has not yet shown two different weights (common practice).
UNSEEN_STEP_G = 0.1
# And no scale steps more coarsely: without noise, the first change of a weight may be a vessel.
COARSEST_STEP_G = 5.0
# A weight that creeps (evaporation, drift) lies off its level by a mean over so many readings, and
# that is no noise: taken for it, noise would be believed the more the weight creeps, the level
# would follow the less, and lie off the more.
CREEP_OVER = 32.0
# Correlation from reading to reading that is believed; more is a weight that moves.
MOST_CORRELATION = 0.75
# Differences below this are arithmetic, not steps.
LEAST_STEP_G = 1e-4


class TraitsLearner:
    """Learns noise and step, so that an unknown scale needs no setting."""

    __slots__ = (
        "_blocks",
        "_colour",
        "_correlation",
        "_count",
        "_creep_g",
        "_errors_g",
        "_lately_g",
        "_least_var",
        "_rest_var",
        "_rested_lately",
        "_shares",
        "_step_g",
        "noise_var",
    )

    def __init__(self) -> None:
        self._count = 0
        self._step_g: Grams = math.inf
        """The least change from a reading to the next so far."""
        self._rest_var = PRIOR_NOISE_G**2
        self._least_var = _least_var(UNSEEN_STEP_G)
        self._creep_g = 0.0
        self._errors_g: list[Grams] = []
        self._shares: list[float] = []
        self._lately_g: list[Grams] = [math.nan]
        """The last reading that was looked at together with others, and those since."""
        self._rested_lately = 0
        """How many of those were of a quiet platform."""
        self._blocks: deque[tuple[float, float, float]] = deque(maxlen=KEPT_BLOCKS)
        """Full blocks, oldest first."""
        self._colour = 1.0
        self._correlation = 0.0
        self.noise_var: float
        """Variance of one reading of a weight on the move, rounding included, g².

        Where the noise hangs together from reading to reading it is that of white noise of the
        same power at low frequencies, which is what a level or a slope is off by: with lag-1
        autocorrelation ρ, ``(1 + ρ)/(1 - ρ)`` times the variance of one reading (Bartlett 1946,
        J. Royal Statistical Society Supplement 8:27; from memory).
        """
        self._learnt()

    @property
    def scale_noise(self) -> ScaleNoise:
        """The noise at rest with its correlation and the step."""
        return ScaleNoise(self._rest_var, self._correlation, self.rounding_g)

    @property
    def rest_noise_g(self) -> Grams:
        """Standard deviation of one reading at rest."""
        return math.sqrt(self._rest_var)

    @property
    def rounding_g(self) -> Grams:
        """The step of the scale as far as it is known by now, g."""
        return UNSEEN_STEP_G if math.isinf(self._step_g) else min(self._step_g, COARSEST_STEP_G)

    def see(self, grams: Grams) -> None:
        """Take a raw reading, whatever happens on the platform."""
        lately_g = self._lately_g
        change = grams - lately_g[-1]
        lately_g.append(grams)
        if change < 0.0:
            change = -change
        if change < self._step_g and change > LEAST_STEP_G:
            self._step_g = round(change, 6)
            self._least_var = _least_var(self.rounding_g)
            self._learnt()
        if len(lately_g) > LATELY:
            self._look_at_lately()

    def rest(self, readings: Iterable[tuple[Grams, float]]) -> None:
        """Take readings of a quiet platform that came since the last call: how far each is off its
        level, and the variance that the level is known with (g²)."""
        count, rest_var, creep_g = self._count, self._rest_var, self._creep_g
        errors_g, shares, full = self._errors_g, self._shares, False
        for off_g, level_var in readings:
            count += 1
            error_g = off_g - creep_g
            error_var = rest_var + level_var
            most_g = FAR * math.sqrt(error_var)
            within_g = -most_g if error_g < -most_g else most_g if error_g > most_g else error_g
            creep_g += within_g / (count if count < CREEP_OVER else CREEP_OVER)
            errors_g.append(error_g)
            # The spread of the error, shared out between the level's doubt and the noise.
            shares.append(rest_var / error_var)
            if len(errors_g) == BLOCK:
                self._blocks.append(self._block())
                errors_g.clear()
                shares.clear()
                full = True
        self._rested_lately += count - self._count
        self._count, self._creep_g = count, creep_g
        if errors_g and count < EARLY:
            self._weigh([*self._blocks, self._block()])
        elif full:
            self._weigh(self._blocks)

    def _look_at_lately(self) -> None:
        """Where hardly any reading has been one of rest though the weight has not moved, the scale
        has become noisier, and what was learnt before no longer holds."""
        lately_g, rested = self._lately_g[1:], self._rested_lately
        self._lately_g, self._rested_lately = lately_g[-1:], max(rested - LATELY, 0)
        if rested > MOST_RESTED * LATELY or abs(lately_g[-1] - lately_g[0]) > MOVED_G:
            return
        level_g = median_low(lately_g)
        off_g = [grams - level_g for grams in lately_g]
        noise_g = median_low(map(abs, off_g)) / HALF_WITHIN
        if noise_g > LOUDEST_G or noise_g * noise_g < RESTLESS * self._rest_var:
            return
        if sum(map(mul, off_g, off_g[1:])) > MOST_CORRELATION * sum(map(mul, off_g, off_g)):
            return
        levels_g = [median_low(lately_g[i : i + BLOCK]) for i in range(0, LATELY, BLOCK)]
        if max(levels_g) - min(levels_g) < STILL_SIGMAS * noise_g:
            self._blocks.clear()
            self._errors_g.clear()
            self._shares.clear()
            self._creep_g = 0.0
            self.rest([(one_g, 0.0) for one_g in off_g])

    def _block(self) -> tuple[float, float, float]:
        """Of the readings since the last block: their weight, mean square and mean product of
        neighbours."""
        errors_g, sizes_g = self._errors_g, list(map(abs, self._errors_g))
        count = len(errors_g)
        most_g = FAR * max(median_low(sizes_g) / HALF_WITHIN, math.sqrt(self._rest_var))
        if max(sizes_g) > most_g:
            errors_g = [min(max(error_g, -most_g), most_g) for error_g in errors_g]
        square = sum(map(mul, map(mul, errors_g, errors_g), self._shares)) / count
        product = sum(map(mul, errors_g, errors_g[1:])) / max(count - 1, 1)
        return count / BLOCK, square, product

    def _weigh(self, blocks: Sequence[tuple[float, float, float]]) -> None:
        """What these blocks of rest say of the noise."""
        if len(blocks) >= LEAST_BLOCKS:
            blocks = _quiet(blocks)
        whole = PRIOR_WEIGHT / BLOCK
        squares, products = whole * PRIOR_NOISE_G**2, 0.0
        for weight, square, product in blocks:
            whole += weight
            squares += weight * square
            products += weight * product
        self._rest_var = squares / whole
        rho = products / squares
        # What the creep takes with it (Kendall 1954, Biometrika 41:403: of n readings about their
        # own mean; from memory).
        rho += (1.0 + 4.0 * rho) / (2.0 * CREEP_OVER)
        if rho < 0.0:
            rho = 0.0
        elif rho > MOST_CORRELATION:
            rho = MOST_CORRELATION
        self._correlation = rho
        self._colour = (1.0 + rho) / (1.0 - rho)
        self._learnt()

    def _learnt(self) -> None:
        """Update ``noise_var`` after a change of what it is made from."""
        noise_var = self._rest_var * self._colour
        self.noise_var = noise_var if noise_var > self._least_var else self._least_var

    def traits(self, period_s: Seconds | None, trouble: ScaleTrouble | None = None) -> ScaleTraits:
        """Return the traits known so far, with ``trouble`` as given."""
        known = self._count >= LEAST_READINGS
        return ScaleTraits(
            1.0 / period_s if period_s else None,
            self.rest_noise_g if known else None,
            self._step_g if known and math.isfinite(self._step_g) else None,
            trouble,
        )


class LearntTraits(TraitsLearner):
    """What was learnt of a scale over a whole record, for going through that record again."""

    __slots__ = ()

    def __init__(self, learnt: TraitsLearner) -> None:
        super().__init__()
        for name in TraitsLearner.__slots__:
            setattr(self, name, getattr(learnt, name))

    def see(self, grams: Grams) -> None:
        """Learn nothing: the step is known."""

    def rest(self, readings: Iterable[tuple[Grams, float]]) -> None:
        """Learn nothing: the noise is known."""


def _quiet(blocks: Sequence[tuple[float, float, float]]) -> Sequence[tuple[float, float, float]]:
    """Those neither restless themselves nor beside one that is; all, where few are left: a noise
    that is believed too small shows no rest any more by which to learn that."""
    squares = [square for _, square, _ in blocks]
    most = RESTLESS * median_low(squares)
    if max(squares) <= most:
        return blocks
    calm = [True, *[square <= most for square in squares], True]
    quiet = [block for i, block in enumerate(blocks) if calm[i] and calm[i + 1] and calm[i + 2]]
    return quiet if len(quiet) >= LEAST_QUIET * len(blocks) else blocks


def _least_var(step_g: Grams) -> float:
    """A coarse scale may show no spread at all at rest, and still err on the move: by its rounding,
    spread evenly over a step, and by noise hidden in it, taken as a quarter of a step."""
    return step_g * step_g * (ROUNDING_SHARE + HIDDEN_SHARE) + LEAST_VAR
