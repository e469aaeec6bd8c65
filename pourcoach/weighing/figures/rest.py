"""A load at rest: its mean, the noise of one reading, the step between readings."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.statistics.line_fit import fit_line
from pourcoach.weighing.figures.finding import Finding, Sentence, do
from pourcoach.weighing.loads.known_load import KnownLoad

# Two halves of four: fewer give no spread to judge a drift by.
LEAST_READINGS = 8
# The two halves of a stretch at rest differ by noise alone. Six standard errors, not two: real
# rest noise is not white, and neighbours that agree make a mean look surer than it is.
HALVES_ERRORS = 6.0
# Neighbours more alike than this are smoothed by the scale.
SMOOTHED_LIKENESS = 0.8
# Differences below this are arithmetic, not steps.
LEAST_STEP = 1e-4


@dataclass(frozen=True, slots=True)
class Rest:
    """A stretch at rest. In grams, or in counts where the scale sends counts."""

    mean: float
    noise: float
    """Standard deviation of one reading about a straight line, so that drift is left out."""
    step: float | None
    """Smallest difference between two readings; None where all are alike."""
    likeness: float
    """Correlation of neighbours, lag 1: 0 for white noise, towards 1 where the scale smooths."""
    readings: int
    span_s: Seconds

    def findings(self) -> Iterator[Finding]:
        step = "" if self.step is None else f", in steps of {self.step:.3g} g"
        yield Finding("noise of one reading", f"{self.noise:.3f} g{step}")

    def sentences(self) -> Iterator[Sentence]:
        if self.likeness > SMOOTHED_LIKENESS:
            yield do(
                "turn off the scale's own smoothing if you can: neighbouring readings are nearly "
                "alike, so what it shows is an average of some time past"
            )

    def weighed(self, true_g: Grams) -> KnownLoad:
        """As a weighing of a load of that mass."""
        return KnownLoad(true_g, self.mean, self.noise, self.readings)


def rest_of(readings: Sequence[Reading]) -> Rest | None:
    """Figures of a stretch that is taken as being at rest; None for fewer than LEAST_READINGS."""
    if len(readings) < LEAST_READINGS or readings[-1].t_s <= readings[0].t_s:
        return None
    values = [reading.grams for reading in readings]
    line = fit_line([reading.t_s for reading in readings], values)
    changes = {round(abs(two - one), 6) for one, two in pairwise(values)}
    steps = [change for change in changes if change > LEAST_STEP]
    return Rest(
        math.fsum(values) / len(values),
        line.residual_sd or 0.0,
        min(steps) if steps else None,
        _likeness(line.residuals),
        len(values),
        readings[-1].t_s - readings[0].t_s,
    )


def at_rest(readings: Sequence[Reading], tolerance: float = 0.0) -> bool:
    """Whether a stretch shows a load that lies still: its two halves agree.

    ``tolerance``, in the unit of the readings, is a difference that does not matter.
    """
    if len(readings) < LEAST_READINGS:
        return False
    values = [reading.grams for reading in readings]
    half = len(values) // 2
    first, second = values[:half], values[half:]
    moved = math.fsum(second) / len(second) - math.fsum(first) / len(first)
    # From neighbours, so that a slope does not count as noise.
    squares = math.fsum((two - one) ** 2 for one, two in pairwise(values))
    noise = math.sqrt(squares / (2 * (len(values) - 1)))
    return abs(moved) <= tolerance + HALVES_ERRORS * noise * math.sqrt(2.0 / half)


def _likeness(residuals: Sequence[float]) -> float:
    total = math.fsum(value * value for value in residuals)
    if total == 0.0:
        return 0.0
    pairs = pairwise(residuals)
    return math.fsum(one * two for one, two in pairs) / total
