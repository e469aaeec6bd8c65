"""One brew among many, from its figures alone: those worked out now, or those that were kept."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from pourcoach.coaching.marking.rubric import Measure
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.plan import Plan
from pourcoach.domain.printable import printable
from pourcoach.domain.units import Grams, Seconds
from pourcoach.recordings.shipped import stem_of
from pourcoach.reports.brew.brew_line import when
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.brew.noted import NOT_THE_HAND
from pourcoach.reports.figures import figures
from pourcoach.wording import RECORDS, flag_title

NOBODY = "nobody named"
"""Heads the brews of which nobody said who made them."""
BETWEEN_POINTS_S: Seconds = 0.5
"""More points than that a small curve cannot show."""


@dataclass(frozen=True, slots=True)
class MarkedFigure:
    """One mark as it was given."""

    title: str
    measure: Measure
    least: float
    most: float
    value: float | None
    met: bool | None


@dataclass(frozen=True, slots=True)
class GroupBrew:
    """``figures`` is what ``figures.figures`` gives."""

    figures: Mapping[str, Any]
    curve: tuple[tuple[Seconds, Grams], ...]
    """Seconds from the first water and what was poured by then."""

    @classmethod
    def of(cls, brew: BrewReport) -> "GroupBrew":
        """From a brew that was judged just now."""
        points = brew.curve.thinned(BETWEEN_POINTS_S)
        return cls(
            figures(brew.recording, brew.tape, brew.marks),
            tuple((point.t_s, point.mass_g) for point in points),
        )

    @property
    def name(self) -> str:
        """The recording's, without folder and suffix, fit to be shown."""
        return printable(stem_of(Path(self.figures["recording"])))

    @property
    def by(self) -> str:
        return self.figures["by"] or NOBODY

    @property
    def is_brew(self) -> bool:
        """Whether it counts: something was poured, and for a cup. Practice has figures of its own,
        which are never mixed with these."""
        return self.figures["brew_start_s"] is not None and not self.figures.get("practice")

    @property
    def at(self) -> datetime | None:
        """When it was made, in local time; None where the recording does not say."""
        try:
            at = datetime.fromisoformat(self.figures["recorded_at"] or "")
        except ValueError:
            return None
        return at.astimezone()  # one without a zone is of this machine's

    @property
    def when(self) -> str:
        return when(self.figures["recorded_at"] or "")

    @property
    def headline(self) -> str:
        return str(self.figures["headline"] or "NOTHING CAME")

    @property
    def plan(self) -> Plan | None:
        plan = self.figures["plan"]
        return None if plan is None else Plan.from_dict(plan)

    @property
    def kinds(self) -> frozenset[FlagKind]:
        """What was noted of the hand."""
        kinds = {FlagKind(flag["kind"]) for flag in self.figures["flags"]}
        return frozenset(kinds - NOT_THE_HAND)

    @property
    def kinds_text(self) -> str:
        """The same in words, the gravest first."""
        kinds = sorted(self.kinds, key=lambda kind: (-RECORDS[kind].gravity, kind.value))
        return ", ".join(flag_title(kind).lower() for kind in kinds) or "nothing noted"

    @property
    def marks(self) -> Iterator[MarkedFigure]:
        """In the order of the rubric; none where the brew was not marked."""
        for mark in (self.figures["marks"] or {}).get("criteria", ()):
            least, most = mark["least"], mark["most"]
            yield MarkedFigure(
                mark["title"],
                Measure(mark["measure"]),
                float("-inf") if least is None else least,
                float("inf") if most is None else most,
                mark["value"],
                mark["met"],
            )

    @property
    def marks_text(self) -> str:
        """``11 of 12``; a dash where none was judged."""
        marks = self.figures["marks"] or {}
        judged = marks.get("judged")
        return f"{marks['met']} of {judged}" if judged else "–"

    @property
    def met_share(self) -> float | None:
        """Of the marks, each by its weight; None where none was judged."""
        share = (self.figures["marks"] or {}).get("met_share")
        return None if share is None else float(share)


def oldest_first(brews: Sequence[GroupBrew]) -> list[GroupBrew]:
    """Oldest first; those without a date before all others, as they were given."""
    return sorted(brews, key=lambda brew: brew.at.timestamp() if brew.at else float("-inf"))
