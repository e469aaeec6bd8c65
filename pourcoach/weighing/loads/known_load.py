"""Loads whose mass is known, and what the scale made of them."""

from dataclasses import dataclass
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.units import Grams

# The counts of the widest converters are below it, and sums of squares of it stay numbers.
LARGEST = 1e12
MOST_READINGS = 10**9


@dataclass(frozen=True, slots=True)
class KnownLoad:
    """One weighing of a known load, the mean of many readings at rest."""

    true_g: Grams
    shown: float
    """Grams, or counts where a scale that sends counts is calibrated."""
    noise: float = 0.0
    """Standard deviation of one reading, in the unit of ``shown``."""
    readings: int = 1
    known_to_g: Grams | None = None
    """By how much ``true_g`` may be off; None where that is not known."""

    @property
    def error(self) -> float:
        """Shown less true; of use only where ``shown`` is grams."""
        return self.shown - self.true_g

    def as_dict(self) -> dict[str, Any]:
        """For JSON. ``from_dict`` reads it back to an equal value."""
        data: dict[str, Any] = {
            "true_g": self.true_g,
            "shown": self.shown,
            "noise": self.noise,
            "readings": self.readings,
        }
        if self.known_to_g is not None:
            data["known_to_g"] = self.known_to_g
        return data

    @classmethod
    def from_dict(cls, data: object) -> Self:
        """Read a weighing from a table of its own; see ``from_table``."""
        return cls.from_table(CheckedTable("a weighing", data))

    @classmethod
    def from_table(cls, table: CheckedTable) -> Self:
        """Raises UsageError for what is no weighing, naming the key."""
        return cls(
            table.number("true_g", least=-LARGEST, most=LARGEST),
            table.number("shown", least=-LARGEST, most=LARGEST),
            table.number("noise", 0.0, least=0.0, most=LARGEST),
            table.whole("readings", 1, MOST_READINGS, 1),
            table.number("known_to_g", least=0.0, most=LARGEST) if "known_to_g" in table else None,
        )
