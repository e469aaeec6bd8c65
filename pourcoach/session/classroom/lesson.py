"""A lesson as a file: stations, people, plan, drills, what is tasted, and two lists."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.domain.printable import LONGEST_NAME
from pourcoach.practice.assignment import Mode
from pourcoach.practice.drill.drill import Drill
from pourcoach.session.classroom.roster import MOST_STATIONS, StationRequest
from pourcoach.session.practice.drills import find_drill
from pourcoach.tasting.method import Method

LONGEST_ITEM = 200
MOST_ITEMS = 50

USUAL_LESSON = (files(__package__) / "lesson.toml").read_text(encoding="utf-8")
"""The one that ships, to be changed."""


@dataclass(frozen=True, slots=True)
class Tasted:
    """What is compared by taste after the brews."""

    method: Method
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Lesson:
    """One lesson. Where a part is missing from the file it is as in the usual lesson's lists, or
    there is none."""

    title: str
    places: tuple[StationRequest, ...]
    plan: Mapping[str, Any]
    """Fields of a PlanRequest; empty where the class brews what its options say."""
    drills: tuple[Drill, ...]
    """What each station can be turned to."""
    mode: Mode
    """In which drills are practised."""
    taste: Tasted | None
    opening: tuple[str, ...]
    closing: tuple[str, ...]


def read_lesson(text: str) -> Lesson:
    """Raises UsageError for what is no lesson, naming what is wrong."""
    table = CheckedTable.from_toml("the lesson", text)
    plan = table.table("plan", optional=True)
    PlanRequest.from_table(plan)
    plan.done()
    practise = table.table("practise", optional=True)
    lists = table.table("lists", optional=True)
    usual = CheckedTable.from_toml("the usual lesson", USUAL_LESSON).table("lists")
    lesson = Lesson(
        title=table.words("title", "A lesson", longest=LONGEST_NAME),
        places=tuple(map(_place, table.tables("station", MOST_STATIONS, least=0))),
        plan=plan.as_dict(),
        drills=tuple(map(find_drill, _items(practise, "drills", ()))),
        mode=practise.one_of("mode", {mode.value: mode for mode in Mode}, Mode.TRAIN.value),
        taste=table.maybe("taste", _tasted),
        opening=_items(lists, "opening", _items(usual, "opening")),
        closing=_items(lists, "closing", _items(usual, "closing")),
    )
    for each in (practise, lists, table):
        each.done()
    return lesson


def _place(table: CheckedTable) -> StationRequest:
    plan = table.table("plan", optional=True)
    request = PlanRequest.from_table(plan)
    plan.done()
    with _under(plan):
        worked = work_out(request).plan if plan.all_keys() else None
    station = StationRequest(
        table.words("name", longest=LONGEST_NAME),
        table.words("scale", longest=LONGEST_ITEM),
        table.words("person", longest=LONGEST_NAME) if "person" in table else None,
        worked,
        table.words("group", longest=LONGEST_NAME) if "group" in table else None,
        find_drill(table.words("drill", longest=LONGEST_ITEM)) if "drill" in table else None,
    )
    table.done()
    return station


def _tasted(table: CheckedTable) -> Tasted:
    tasted = Tasted(
        table.one_of("test", {method.value: method for method in Method}),
        table.words("a", longest=LONGEST_NAME),
        table.words("b", longest=LONGEST_NAME),
    )
    table.done()
    return tasted


def _items(table: CheckedTable, key: str, usual: tuple[str, ...] | None = None) -> tuple[str, ...]:
    return table.words_list(key, usual, longest=LONGEST_ITEM, most=MOST_ITEMS)


@contextmanager
def _under(table: CheckedTable) -> Iterator[None]:
    """What is wrong in a plan is reported with its place in the lesson."""
    try:
        yield
    except UsageError as error:
        raise UsageError(f"{table.name}: {error.what}", error.remedy) from None
