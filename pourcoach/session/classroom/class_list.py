"""The class list: who is in it, in groups, and what each has done by now."""

from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from pourcoach.domain.errors import PourcoachError
from pourcoach.library.brews import find_brews
from pourcoach.library.library import Library
from pourcoach.library.records import Brew, Search
from pourcoach.practice.course import next_test
from pourcoach.recordings.tape import header_of
from pourcoach.reports.brew.brew_line import NOTHING, when
from pourcoach.session.classroom.roster import StationRequest
from pourcoach.session.practice.drills import drills
from pourcoach.session.practice.shelf import kept_pours

HEADINGS = ("GROUP", "WHO", "BREWS", "LAST", "VERDICT", "MARKS", "DRILLS", "NEXT TEST")
NUMBERS = frozenset({2})
"""Columns that stand to the right."""


@dataclass(frozen=True, slots=True)
class Member:
    """One person of a class."""

    name: str
    group: str | None
    brews: tuple[Brew, ...]
    """Newest first, without what was poured in drills."""
    pours: tuple[tuple[str, int], ...]
    """Titles of the drills that were practised, each with how many pours were made to their end."""
    test: str | None
    """The test that is due first, in words."""


def class_list(
    places: Sequence[StationRequest], library: Library, now: datetime
) -> tuple[Member, ...]:
    """The people of a lesson, a group's together, each once; reads tapes' first lines."""
    groups: dict[str, str | None] = {}
    for place in places:
        if place.person is not None:
            groups.setdefault(place.person, place.group)
    order = list(dict.fromkeys(groups.values()))
    names = sorted(groups, key=lambda name: order.index(groups[name]))
    return tuple(_member(name, groups[name], library, now) for name in names)


def _member(name: str, group: str | None, library: Library, now: datetime) -> Member:
    brews = tuple(brew for brew in find_brews(library, Search(by=name)) if not _practised(brew))
    kept = kept_pours(name)
    counts = Counter(pour.assignment.drill for pour in kept)
    known = [drill for drill in drills()[0] if drill.name in counts]
    dues = [
        (due.at, f"{drill.title} {_day(due.at, now)}")
        for drill in known
        if (due := next_test([p.past for p in kept if p.assignment.drill == drill.name],
                             drill.schedule)) is not None
    ]  # fmt: skip
    test = min(dues)[1] if dues else None
    pours = tuple((drill.title, counts[drill.name]) for drill in known)
    return Member(name, group, brews, pours, test)


def _day(at: datetime, now: datetime) -> str:
    return "now" if at <= now else f"from {at.astimezone(now.tzinfo):%Y-%m-%d}"


def _practised(brew: Brew) -> bool:
    # What cannot be read any more was a brew as far as anybody knows.
    with suppress(PourcoachError):
        return header_of(brew.tape).practice is not None
    return False


def member_row(member: Member) -> tuple[str, ...]:
    """The member's cells, in the order of HEADINGS."""
    last = member.brews[0] if member.brews else None
    marks = (
        f"{last.marks_met} of {last.marks_of}" if last is not None and last.marks_of else NOTHING
    )
    return (
        member.group or NOTHING,
        member.name,
        str(len(member.brews)),
        NOTHING if last is None else when(last.recorded_at),
        NOTHING if last is None else last.headline or "NOT JUDGED",
        marks,
        ", ".join(f"{title} {count}" for title, count in member.pours) or NOTHING,
        member.test or NOTHING,
    )
