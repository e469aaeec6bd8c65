"""What the library gives: frozen values, each made once from its tables."""

from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple, TypeAlias

from pourcoach.domain.afterwards import CupNote, Remark, StrengthReading
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Percent, Seconds
from pourcoach.library.paths import path_of

# 48 bits: among ten thousand brews two that begin alike are one chance in five million.
ID_LENGTH = 12

Curve: TypeAlias = tuple[tuple[Seconds, Grams, GramsPerSecond], ...]
"""About two points a second: time since the first water, what was poured by then, and the flow."""


@dataclass(frozen=True, slots=True)
class Search:
    """Which brews are asked for. All that is given must hold; None or empty asks nothing."""

    by: str | None = None
    """Who brewed; large and small letters are one."""
    coffee: str | None = None
    tag: str | None = None
    finding: str | None = None
    """A kind of flag, as ``bloom-short``."""
    since: date | None = None
    """That day, by this machine's clock, and later."""
    until: date | None = None
    """That day and earlier."""
    text: str = ""
    """Words that must all stand somewhere in what is known of the brew: person, coffee, water,
    title, tags, headline, findings, remarks, cup notes, the recording's name, the date."""
    binned: bool = False
    """Those in the bin instead of those out of it."""


class Brew(NamedTuple):
    """A kept brew, as a list shows it: a row of the query in ``brews``, which is all that ten
    thousand of them cost. What has to be made of a column is made when it is asked for.
    """

    number: int
    """The library's own number for it; another one in a library that was made anew."""
    content: str | None
    """Its content's hash; None while its tape has never been read."""
    tape_key: str | bytes | None
    """As ``path_of`` takes it."""
    missing: int
    """As SQLite keeps it; ``is_missing`` says what it means."""
    recorded_at: str
    """ISO 8601 with its offset, as on the tape; of the file where the tape does not say."""
    recorded_s: Seconds
    """The same, since 1970; 0 where the text is no time."""
    title: str | None
    by: str | None
    coffee: str | None
    water: str | None
    """Name of a saved water; None where not given."""
    tag_lines: str
    strength_percent: Percent | None
    """By the newest reading."""
    water_g: Grams | None
    """What was poured; what dripped, with the server on the scale. None here and below where the
    brew is not judged yet, or nothing came."""
    brew_s: Seconds | None
    headline: str | None
    """What leads its review, in capitals."""
    finding_words: str | None
    marks_met: int | None
    marks_of: int | None
    judged_by: str | None
    """The version that worked the figures out; None where none did yet."""

    @property
    def is_missing(self) -> bool:
        """Whether the tape is not there any more, and what is known of the brew is kept."""
        return self.missing == 1

    @property
    def id(self) -> str:
        """By which it is named: the first characters of its content's hash, the same for the same
        recording on every machine. Empty while its tape has never been read."""
        return (self.content or "")[:ID_LENGTH]

    @property
    def tape(self) -> Path:
        """Where its tape is; where it was last, if it ``is_missing``."""
        return path_of(self.tape_key or "")

    @property
    def tags(self) -> tuple[str, ...]:
        """In order of the letters."""
        return tuple(self.tag_lines.split("\n")) if self.tag_lines else ()

    @property
    def findings(self) -> tuple[str, ...]:
        """Kinds of its flags, each once, in the order in which they came."""
        return tuple((self.finding_words or "").split())


@dataclass(frozen=True, slots=True)
class Judgement:
    """What is worked out from a tape: its figures, by one version and one rubric."""

    judged_by: str
    """The version of the program, and of what judges in it."""
    rubric: str
    """The rubric's name and a hash of what it asks."""
    figures: dict[str, Any]
    """The object that ``analyse --json`` prints: ``pours``, ``flags``, ``marks``, ``plan`` …"""
    curve: Curve
    reaction_s: Seconds | None = None
    """Who brewed's lead as learnt on this brew by hand; None where none was, and once kept: it is
    the person's then."""


@dataclass(frozen=True, slots=True)
class OpenedBrew:
    """A kept brew with all that is known of it, without reading its tape."""

    brew: Brew
    judgement: Judgement | None
    """None where it is not judged yet."""
    remarks: tuple[Remark, ...]
    """These and the following: oldest first."""
    cup_notes: tuple[CupNote, ...]
    strengths: tuple[StrengthReading, ...]
    plan: Plan | None
    """As it stood on the tape; None where it had none."""
    scale: str | None
    """The scale's address."""


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who brews."""

    name: str
    reaction_s: Seconds | None
    """Learnt lead from the STOP word to the water stopping; None until learnt."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What was just done to the library with one tape."""

    number: int
    """The brew's."""
    new: bool
    """False where the library had this content already."""
    was_missing: bool = False
    """True where its tape had been missing."""
    is_copy: bool = False
    """True where the brew has another tape that is there."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What a look through the tapes found; each list is empty where all is as it was."""

    new: list[Path] = field(default_factory=list)
    moved: list[tuple[Path, Path]] = field(default_factory=list)
    """From and to."""
    missing: list[Path] = field(default_factory=list)
    """Gone since the last look."""
    back: list[Path] = field(default_factory=list)
    """Missing before, and there again."""
    copies: list[tuple[Path, Path]] = field(default_factory=list)
    """A second file of a brew, and its first."""
    refused: list[tuple[Path, str]] = field(default_factory=list)
    """No tape, and why."""


@dataclass(frozen=True, slots=True)
class Imported:
    """What became of files that were to be imported."""

    new: list[int] = field(default_factory=list)
    """Numbers of the brews that the library did not have."""
    known: list[int] = field(default_factory=list)
    refused: list[tuple[Path, str]] = field(default_factory=list)
    """And why."""
