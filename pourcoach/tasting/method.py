"""The three difference tests, each by its standard."""

from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True, slots=True)
class _Design:
    chance: float
    orders: tuple[str, ...]
    ask: str
    standard: str


class Method(Enum):
    """How samples are presented, and what a taster is asked."""

    TRIANGLE = "triangle"
    """Three cups, two of them alike: which one is different? (ISO 4120)"""
    PAIRED = "paired"
    """Two cups: which has more of one quality? (ISO 5495)"""
    DUO_TRIO = "duo-trio"
    """A reference and two cups, one of them like it: which is? (ISO 10399)"""

    @property
    def chance(self) -> float:
        """The probability of a right answer by guessing alone."""
        return _DESIGNS[self].chance

    @property
    def orders(self) -> tuple[str, ...]:
        """Every order of presentation, each to be used equally often. A letter is a coded cup;
        before a colon stands the reference."""
        return _DESIGNS[self].orders

    @property
    def ask(self) -> str:
        """What the taster is asked; ``{quality}`` stands for the quality compared."""
        return _DESIGNS[self].ask

    @property
    def standard(self) -> str:
        """The standard that describes the test."""
        return _DESIGNS[self].standard


_DESIGNS = {
    Method.TRIANGLE: _Design(
        1 / 3,
        ("ABB", "AAB", "ABA", "BAA", "BBA", "BAB"),
        "Two of the cups are alike, one is different. Which one is different?",
        "ISO 4120:2021",
    ),
    Method.PAIRED: _Design(1 / 2, ("AB", "BA"), "Which cup is {quality}?", "ISO 5495:2005"),
    # Both samples serve as the reference equally often: the balanced form.
    Method.DUO_TRIO: _Design(
        1 / 2,
        ("A:AB", "A:BA", "B:AB", "B:BA"),
        "One of the two coded cups is the same as the reference. Which one is the same?",
        "ISO 10399:2017",
    ),
}
