"""A lesson as a file: stations, people, plan, drills, what is tasted, and two lists."""

from collections.abc import Mapping
from dataclasses import dataclass
from importlib.resources import files
from typing import Any

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.documents import DocumentError, from_toml
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan
from pourcoach.domain.printable import LONGEST_NAME, printable
from pourcoach.session.classroom.roster import MOST_STATIONS, StationRequest
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
    drills: tuple[str, ...]
    """Names."""
    taste: Tasted | None
    opening: tuple[str, ...]
    closing: tuple[str, ...]


def read_lesson(text: str) -> Lesson:
    """Raises UsageError for what is no lesson, naming what is wrong."""
    try:
        data = from_toml(text)
    except DocumentError as error:
        raise UsageError(f"the lesson is not TOML: {error}", "mend the file") from None
    _only(data, "title", "plan", "station", "practise", "taste", "lists")
    plan = _table(data, "plan")
    PlanRequest.from_dict(plan)
    stations = data.get("station", [])
    if not isinstance(stations, list) or len(stations) > MOST_STATIONS:
        raise UsageError("the lesson's stations are no list", "write each as [[station]]")
    practise = _table(data, "practise")
    _only(practise, "drills", noun="key in [practise]")
    lists = _table(data, "lists")
    _only(lists, "opening", "closing", noun="key in [lists]")
    usual = from_toml(USUAL_LESSON)["lists"]
    return Lesson(
        title=_text(data.get("title", "A lesson"), "title"),
        places=tuple(map(_place, stations)),
        plan=plan,
        drills=_texts(practise.get("drills", []), "drills"),
        taste=_tasted(data["taste"]) if "taste" in data else None,
        opening=_texts(lists.get("opening", usual["opening"]), "opening list"),
        closing=_texts(lists.get("closing", usual["closing"]), "closing list"),
    )


def _place(data: object) -> StationRequest:
    if not isinstance(data, Mapping):
        raise UsageError(f"a station is {data!r:.60}", "write each as [[station]]")
    _only(data, "name", "scale", "person", "group", "plan", noun="key in [[station]]")
    plan = _table(data, "plan")
    return StationRequest(
        _text(data.get("name"), "station's name"),
        _text(data.get("scale"), "station's scale", LONGEST_ITEM),
        None if "person" not in data else _text(data["person"], "station's person"),
        _plan(plan) if plan else None,
        None if "group" not in data else _text(data["group"], "station's group"),
    )


def _plan(data: Mapping[str, Any]) -> Plan:
    return work_out(PlanRequest.from_dict(data)).plan


def _tasted(data: object) -> Tasted:
    if not isinstance(data, Mapping):
        raise UsageError(f"what is tasted is {data!r:.60}", "write it as [taste]")
    _only(data, "test", "a", "b", noun="key in [taste]")
    try:
        method = Method(data.get("test"))
    except ValueError:
        known = ", ".join(method.value for method in Method)
        raise UsageError(f"there is no test {data.get('test')!r:.60}", f"use {known}") from None
    return Tasted(method, _text(data.get("a"), "sample a"), _text(data.get("b"), "sample b"))


def _only(data: Mapping[str, Any], *known: str, noun: str = "key of a lesson") -> None:
    for key in data:
        if key not in known:
            raise UsageError(f"unknown {noun} {key!r:.60}", f"known ones are {', '.join(known)}")


def _table(data: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    value = data.get(key, {})
    if not isinstance(value, Mapping):
        raise UsageError(f"the lesson's {key} is {value!r:.60}", f"write it as [{key}]")
    return value


def _text(value: object, noun: str, longest: int = LONGEST_NAME) -> str:
    if not isinstance(value, str) or not value.strip() or len(value) > longest:
        raise UsageError(
            f"the {noun} is {value!r:.60}", f"give it a text of up to {longest} letters, in quotes"
        )
    return printable(value.strip(), longest)


def _texts(value: object, noun: str) -> tuple[str, ...]:
    if not isinstance(value, list) or len(value) > MOST_ITEMS:
        raise UsageError(f"the {noun} is {value!r:.60}", f"make it a list of up to {MOST_ITEMS}")
    return tuple(_text(item, noun, LONGEST_ITEM) for item in value)
