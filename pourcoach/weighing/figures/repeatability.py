"""The same load again and again (OIML R 76-1, 3.6.1)."""

import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams
from pourcoach.weighing.figures.finding import Finding, Sentence, cannot
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.verification import Yardstick

# R 76-1, A.4.10, asks for three with class III, ten with class II.
LEAST_WEIGHINGS = 3


@dataclass(frozen=True, slots=True)
class WeighingRepeatability:
    """How far weighings of one load lie apart."""

    load_g: Grams
    weighings: int
    spread_g: Grams
    """Largest less smallest."""
    deviation_g: Grams
    """Standard deviation of one weighing."""
    limit_g: Grams
    """Of the spread."""

    @property
    def within(self) -> bool:
        return self.spread_g <= self.limit_g

    def findings(self) -> Iterator[Finding]:
        yield Finding(
            f"{self.load_g:.6g} g, {self.weighings} times",
            f"{self.spread_g:.3f} g apart",
            f"{self.limit_g:.3g} g",
            self.within,
        )

    def sentences(self) -> Iterator[Sentence]:
        if not self.within:
            yield cannot(f"show the same load alike: it spread over {self.spread_g:.2f} g")


def repeatability(loads: Sequence[KnownLoad], yardstick: Yardstick) -> WeighingRepeatability:
    """Raises UsageError for fewer than three weighings, or of different loads."""
    if len(loads) < LEAST_WEIGHINGS or len({load.true_g for load in loads}) != 1:
        raise UsageError(
            "repeatability needs the same load three times or more",
            "put it on and take it off again",
        )
    shown = [load.shown for load in loads]
    return WeighingRepeatability(
        loads[0].true_g,
        len(loads),
        max(shown) - min(shown),
        statistics.stdev(shown),
        yardstick.limit_g(loads[0].true_g),
    )
