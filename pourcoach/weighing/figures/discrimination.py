"""Does a small addition show? (OIML R 76-1, 3.8)"""

from collections.abc import Iterator
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams
from pourcoach.weighing.figures.finding import Finding, Sentence
from pourcoach.weighing.loads.known_load import KnownLoad
from pourcoach.weighing.loads.verification import Yardstick

# R 76-1, 3.8.2.2, for scales with a digital indication: so many intervals added or taken off must
# change it.
ADDED_INTERVALS = 1.4


@dataclass(frozen=True, slots=True)
class Discrimination:
    """What a small load added to a larger one changed."""

    on_g: Grams
    added_g: Grams
    change_g: Grams
    least_g: Grams
    """The change that must show: one interval."""

    @property
    def within(self) -> bool:
        # Means of many readings: a hair's breadth is arithmetic.
        return self.change_g >= self.least_g - 1e-9

    def findings(self) -> Iterator[Finding]:
        yield Finding(
            f"{self.added_g:.3g} g added",
            f"{self.change_g:+.3f} g shown",
            f"{self.least_g:.3g} g at least",
            self.within,
        )

    def sentences(self) -> Iterator[Sentence]:
        return iter(())


def least_added_g(yardstick: Yardstick) -> Grams:
    """The load to add."""
    return ADDED_INTERVALS * yardstick.interval_g


def discrimination(before: KnownLoad, after: KnownLoad, yardstick: Yardstick) -> Discrimination:
    """Raises UsageError where less was added than the standard asks for."""
    added_g = after.true_g - before.true_g
    if added_g < least_added_g(yardstick) * (1.0 - 1e-9):
        raise UsageError(
            f"{added_g:g} g added is too little to tell", f"add {least_added_g(yardstick):g} g"
        )
    return Discrimination(before.true_g, added_g, after.shown - before.shown, yardstick.interval_g)
