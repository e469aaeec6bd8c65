"""What the library keeps beside the tapes."""

from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from pourcoach.domain.units import Grams, Seconds


class RemarkKind(Enum):
    """What a remark on a brew is about."""

    TASTE = "taste"
    BED = "bed"
    """How the bed looked afterwards."""
    CHANGE = "change"
    """What was changed for this brew against the one before."""
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Remark:
    """Words on a brew."""

    kind: RemarkKind
    text: str
    made_at: str
    """ISO 8601 with its offset."""


@dataclass(frozen=True, slots=True)
class StrengthReading:
    """A strength measured in the cup."""

    strength: float
    """Mass fraction of dissolved solids, 0.0125 for 1.25 %."""
    strength_error: float
    """One standard error, from the instrument."""
    beverage_g: Grams | None
    """None where it was not weighed."""
    taken_at: str
    """ISO 8601 with its offset."""


@dataclass(frozen=True, slots=True)
class Brew:
    """A kept brew. Its figures are on its tape and are worked out from there."""

    number: int
    """The library's own number for it."""
    tape: Path
    recorded_at: str
    by: str | None
    water: str | None
    """Name of a saved water; None where not told."""
    strengths: tuple[StrengthReading, ...]
    """Oldest first."""
    remarks: tuple[Remark, ...]
    """Oldest first."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who brews."""

    name: str
    reaction_s: Seconds | None
    """Learnt lead from the STOP word to the water stopping; None until learnt."""
