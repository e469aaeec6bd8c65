"""What every test of a scale has to say of itself: rows of the page, and sentences."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Protocol


@dataclass(frozen=True, slots=True)
class Finding:
    """One row: a test, what was found, what is allowed."""

    test: str
    found: str
    limit: str = ""
    within: bool | None = None
    """None where there is no limit to keep."""

    @property
    def outcome(self) -> str:
        """In a word."""
        return {None: "", True: "within", False: "OUTSIDE"}[self.within]


class Bearing(Enum):
    """Which way a sentence speaks."""

    CAN = "can"
    CANNOT = "cannot"
    DO = "do"
    """What would make it better."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One thing to know of the scale."""

    bearing: Bearing
    text: str


def can(text: str) -> Sentence:
    return Sentence(Bearing.CAN, text)


def cannot(text: str) -> Sentence:
    return Sentence(Bearing.CANNOT, text)


def do(text: str) -> Sentence:
    return Sentence(Bearing.DO, text)


class TestResult(Protocol):
    """The figures of one test: a frozen dataclass, whose fields go to JSON under their names."""

    def findings(self) -> Iterator[Finding]:
        """Its rows."""
        ...

    def sentences(self) -> Iterator[Sentence]:
        """What follows from it alone, the most useful first; nothing where all is well."""
        ...
