"""What is added to a recording after the brew. None of it changes what the fold answers."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number
from pourcoach.domain.printable import printable
from pourcoach.domain.units import Grams

CUP_QUALITIES = ("aroma", "acidity", "body", "flavour", "aftertaste", "balance")
"""What a cup note may score; the trade's words, common practice."""
USUAL_SCALE = "0-10"
# A trainer's own scale is 1 to 5, 0 to 10 or 0 to 100; a number far beyond them is a slip.
LARGEST_SCORE = 1000.0


class RemarkKind(Enum):
    """What a remark on a brew is about."""

    TASTE = "taste"
    BED = "bed"
    """How the bed looked afterwards: one of the looks that the review knows, or other words."""
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
class CupNote:
    """How the cup tasted, in scores on the taster's own scale. A score is None where not given."""

    made_at: str
    """ISO 8601 with its offset."""
    least: float
    most: float
    """The ends of the scale that the scores are on."""
    aroma: float | None = None
    acidity: float | None = None
    body: float | None = None
    flavour: float | None = None
    aftertaste: float | None = None
    balance: float | None = None
    text: str = ""
    """Free words; empty where there are none."""

    @property
    def scores(self) -> dict[str, float]:
        """Those given, by quality, in the order of CUP_QUALITIES."""
        found = {quality: getattr(self, quality) for quality in CUP_QUALITIES}
        return {quality: score for quality, score in found.items() if score is not None}


@dataclass(frozen=True, slots=True)
class Tag:
    """A word that brews are grouped by, put on or taken off again."""

    name: str
    made_at: str
    """ISO 8601 with its offset."""
    on: bool = True


class FactKind(Enum):
    """What is known of a brew by a name."""

    BY = "by"
    """Who brewed."""
    COFFEE = "coffee"
    WATER = "water"
    """A saved water."""
    TITLE = "title"
    """The brew's own name."""


@dataclass(frozen=True, slots=True)
class Fact:
    """Something known of a brew by a name; the newest of its kind holds. Empty takes it back."""

    kind: FactKind
    name: str
    made_at: str
    """ISO 8601 with its offset."""


Impression: TypeAlias = Remark | StrengthReading | CupNote
"""Each stands for itself, and the later ones beside the earlier."""

Afterword: TypeAlias = Impression | Tag | Fact


def current_facts(words: Iterable[Afterword]) -> dict[FactKind, str | None]:
    """The name that holds now for each kind that was said; None where it was taken back. ``words``
    are oldest first.
    """
    return {word.kind: word.name or None for word in words if isinstance(word, Fact)}


def current_tags(words: Iterable[Afterword]) -> list[str]:
    """The tags that are on now, as each was written last, in that order; large and small letters
    are one. ``words`` are oldest first.
    """
    tags: dict[str, str] = {}
    for word in words:
        if isinstance(word, Tag):
            tags.pop(word.name.casefold(), None)
            if word.on:
                tags[word.name.casefold()] = word.name
    return list(tags.values())


def read_scale(text: str) -> tuple[float, float]:
    """The ends of a taster's scale, as ``0-10``. Raises UsageError for anything else."""
    low, _, high = text.partition("-")
    try:
        return read_number(low), read_number(high)
    except UsageError:
        raise UsageError(f"{printable(text)!r} is no scale", "write its ends, as 0-10") from None


def check_cup_note(note: CupNote) -> CupNote:
    """The same note. Raises UsageError for a scale or a score that is none."""
    if not -LARGEST_SCORE <= note.least < note.most <= LARGEST_SCORE:
        raise UsageError(
            f"a scale from {note.least:g} to {note.most:g} is none",
            "give its ends, the lower first, such as 0-10",
        )
    for quality, score in note.scores.items():
        if not note.least <= score <= note.most:
            raise UsageError(
                f"{quality} {score:g} is not on the scale from {note.least:g} to {note.most:g}",
                "give a score on it, or name another scale with --scale",
            )
    return note
