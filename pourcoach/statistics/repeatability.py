"""How near to each other figures come that should be the same."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean

LIMIT = 1.96 * sqrt(2.0)
"""Times the standard deviation: two of them differ by less in 95 of 100 pairs (Bland & Altman
1996)."""


@dataclass(frozen=True, slots=True)
class Repeatability:
    """Within groups that each should be the same."""

    within_sd: float
    """Standard deviation about each group's mean; variances are pooled, not deviations."""
    freedom: int
    """Figures less groups: how many times it was seen."""

    @property
    def limit(self) -> float:
        """Two of a group differ by less in 95 of 100 pairs."""
        return LIMIT * self.within_sd

    @property
    def precision(self) -> float:
        """How well it is known: half of the 95 % interval, as a share of it (Bland & Altman
        1996)."""
        return 1.96 / sqrt(2.0 * self.freedom)


def pooled_repeatability(groups: Iterable[Sequence[float]]) -> Repeatability | None:
    """None where no group has two figures."""
    freedom, squares = 0, 0.0
    for group in groups:
        if len(group) > 1:
            mean = fmean(group)
            squares += sum((figure - mean) ** 2 for figure in group)
            freedom += len(group) - 1
    return Repeatability(sqrt(squares / freedom), freedom) if freedom else None
