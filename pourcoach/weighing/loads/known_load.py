"""Loads whose mass is known, and what the scale made of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Self

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams

# The counts of the widest converters are below it, and sums of squares of it stay numbers.
LARGEST = 1e12


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
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Raises UsageError for what is no weighing."""
        try:
            known_to_g = data.get("known_to_g")
            load = cls(
                float(data["true_g"]),
                float(data["shown"]),
                float(data.get("noise", 0.0)),
                int(data.get("readings", 1)),
                None if known_to_g is None else float(known_to_g),
            )
        except (KeyError, TypeError, ValueError, AttributeError, OverflowError):
            load = None
        numbers = (
            () if load is None else (load.true_g, load.shown, load.noise, load.known_to_g or 0)
        )
        if load is None or not all(map(_believable, numbers)) or load.readings < 1:
            raise UsageError(
                f"{str(data)[:60]} is no weighing", 'write {"true_g": 100, "shown": 100.1}'
            )
        return load


def _believable(value: float) -> bool:
    # nan compares false and is refused with the rest.
    return abs(value) <= LARGEST
