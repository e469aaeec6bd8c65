"""A figure with its error, and the difference of two."""

from dataclasses import dataclass
from enum import Enum
from math import ceil, hypot

COVERAGE = 2.0
"""Standard errors on either side that are said as ±: about 95 % (JCGM 100:2008, 6.3)."""


class Unit(Enum):
    """What a figure is said in."""

    GRAMS = "g"
    SECONDS = "s"
    FLOW = "g/s"
    PERCENT = "%"

    @property
    def places(self) -> int:
        """Decimal places that are said."""
        return 2 if self is Unit.FLOW else 1


@dataclass(frozen=True, slots=True)
class ComparedFigure:
    """One figure of one brew."""

    value: float
    error: float | None
    """One standard error; None where it is not known."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure less another."""

    value: float
    error: float | None
    """What is said as ±: COVERAGE standard errors. None where one of the two is not known."""

    @property
    def is_seen(self) -> bool:
        """Whether it is larger than its error; one without an error is not."""
        return self.error is not None and abs(self.value) > self.error


def difference(
    one: ComparedFigure | None, other: ComparedFigure | None, unit: Unit
) -> Difference | None:
    """``one`` less ``other``, as it is said: to the places of the unit, the error rounded up.

    None where one of them is missing.
    """
    if one is None or other is None:
        return None
    value = round(one.value - other.value, unit.places)
    if one.error is None or other.error is None:
        return Difference(value, None)
    error = COVERAGE * hypot(one.error, other.error)
    grown = 10**unit.places
    return Difference(value, max(1, ceil(error * grown - 1e-9)) / grown)


def compared_text(figure: ComparedFigure | None, unit: Unit) -> str:
    """``40.2 g``; a dash where there is none."""
    if figure is None:
        return "–"
    return f"{round(figure.value, unit.places) + 0.0:.{unit.places}f} {unit.value}"


def difference_text(found: Difference | None, unit: Unit) -> str:
    """``+2.3 ± 0.4 g``, ``none (± 0.4 g)``, or that its error is not known."""
    if found is None:
        return "–"
    places = unit.places
    if found.error is None:
        return f"{found.value:+.{places}f} {unit.value}, error not known"
    error = f"{found.error:.{places}f} {unit.value}"
    return f"{found.value:+.{places}f} ± {error}" if found.is_seen else f"none (± {error})"
