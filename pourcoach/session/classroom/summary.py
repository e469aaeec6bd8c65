"""What a class has done, for the end of a lesson: a line a brew, and what is to come."""

import re
import shlex
from collections.abc import Sequence
from contextlib import suppress

from pourcoach.coaching.marking.marking import mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import PourcoachError
from pourcoach.recordings.shipped import stem_of
from pourcoach.recordings.tape import header_of
from pourcoach.reports.brew.brew_line import brew_line, list_heading
from pourcoach.session.classroom.lesson import Lesson
from pourcoach.session.classroom.station import Station
from pourcoach.wording.practice import WATER_CAUTION


def class_lines(stations: Sequence[Station], rubric: Rubric) -> list[str]:
    """A line a brew under a heading, stations of a group together, and a line a pour of a drill;
    empty where there is none."""
    who = max((len(station.person or "") for station in stations), default=0)
    lines: list[str] = []
    groups = dict.fromkeys(station.group for station in stations)
    for group in groups:
        rows = []
        for station in (each for each in stations if each.group == group):
            for done in (each for each in station.done if each.drilled is None):
                with suppress(PourcoachError):
                    header = header_of(done.recording)
                    marks = mark(done.last, header.plan, rubric, header.setup.arrangement)
                    name = f"{station.name}: {stem_of(done.recording)}"
                    rows.append(brew_line(name, header, done.last, marks, who))
        if rows and len(groups) > 1:
            lines.append("No group" if group is None else f"Group {group}")
        lines += rows
    return [*([list_heading(who), *lines] if lines else []), *_drill_lines(stations, who)]


def _drill_lines(stations: Sequence[Station], who: int) -> list[str]:
    rows = [
        f"{station.name}: {station.person or '':<{who}}  {done.drilled}"
        for station in stations
        for done in station.done
        if done.drilled is not None
    ]
    return ["Drills", *rows] if rows else []


def opening_lines(lesson: Lesson) -> list[str]:
    """What is to be done, and what to see to before."""
    lines = [lesson.title, "", *list_lines("Before we begin", lesson.opening)]
    own = [place.drill for place in lesson.places if place.drill is not None]
    if lesson.drills or own:
        drills = dict.fromkeys((*own, *lesson.drills))
        lines += ["", "To practise; d on the wall turns a station to it:"]
        lines += _items([f"{drill.title}: {drill.needs}" for drill in drills])
        lines.append(WATER_CAUTION)
    return lines


def closing_lines(lesson: Lesson, stations: Sequence[Station]) -> list[str]:
    """What is tasted, what to hand out, and what to see to afterwards."""
    lines: list[str] = []
    if lesson.taste is not None:
        taste = lesson.taste
        lines += [
            f"To taste, blind: {taste.a} against {taste.b}, a {taste.method.value} test.",
            f"  pourcoach taste new --test {taste.method.value} --tasters {max(1, len(stations))} "
            f"--a {shlex.quote(taste.a)} --b {shlex.quote(taste.b)} --out cups.json",
            "",
        ]
    people = dict.fromkeys(each.person for each in stations if each.person and each.done)
    if people:
        lines.append("To hand out, a page for each and one for the class:")
        lines += [
            f"  pourcoach report --by {shlex.quote(person)} --out {shlex.quote(_page_of(person))}"
            for person in people
        ]
        lines += ["  pourcoach report --class --out class.html", ""]
    return lines + list_lines("Afterwards", lesson.closing)


def _page_of(person: str) -> str:
    name = re.sub(r"[^\w-]+", "-", person.lower()).strip("-")
    return f"{name or 'student'}.html"


def list_lines(title: str, items: Sequence[str]) -> list[str]:
    """A list to be ticked off on paper or in mind; empty where there is nothing in it."""
    return [f"{title}:", *_items(items)] if items else []


def _items(items: Sequence[str]) -> list[str]:
    return [f"  [ ] {item}" for item in items]
