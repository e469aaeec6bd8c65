"""A drill as TOML text. Whoever has the file reads it."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pourcoach.domain.documents import DocumentError, from_toml
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import is_number, number_in
from pourcoach.domain.printable import printable
from pourcoach.practice.drill.drill import FULL_SHARE, Drill, DrillPour
from pourcoach.practice.drill.measure import Asked, Judged, PourMeasure
from pourcoach.practice.schedule import USUAL, Schedule

MOST_POURS = 20
MOST_G = 2000.0
"""Of one pour; kettles hold less."""
FASTEST_GPS = 50.0
LONGEST_REST_S = 600.0
LONGEST_TEXT = 400
"""A sentence or two."""
_KEYS = {
    "title", "task", "needs", "server_ml", "clock", "dark", "factors", "transfer_factors",
    "pour", "judged", "asks", "schedule",
}  # fmt: skip


def drill_from_toml(name: str, text: str) -> Drill:
    """Raises UsageError saying what is wrong in it, and where."""
    try:
        data = from_toml(text)
    except DocumentError as error:
        raise UsageError(f"the drill {name} is not TOML: {error}", "mend the file") from None
    try:
        return _drill(name, data)
    except UsageError as error:
        raise UsageError(f"the drill {name}: {error.what}", error.remedy) from None


def _drill(name: str, data: Mapping[str, Any]) -> Drill:
    _only(data, _KEYS, "key")
    pours = tuple(_pour(each) for each in _tables(data, "pour", MOST_POURS))
    judged = tuple(_judged(each, len(pours)) for each in _tables(data, "judged", MOST_POURS))
    schedule = USUAL if "schedule" not in data else Schedule.from_dict(data["schedule"])
    drill = Drill(
        name=name,
        title=_text(data, "title"),
        task=_text(data, "task"),
        pours=pours,
        judged=judged,
        asks=_asked(data.get("asks", {"measure": "mass"}), len(pours)),
        server_ml=number_in(
            data.get("server_ml"), "server_ml", least=50.0, most=5000.0,
            remedy="say how many ml the server must hold, from 50 to 5000",
        ),
        clock=_truth(data, "clock", usual=True),
        dark=_truth(data, "dark", usual=False),
        schedule=schedule,
    )  # fmt: skip
    drill.task_at(1.0)
    drill = replace(
        drill,
        factors=_factors(data, "factors", drill.factors),
        transfer_factors=_factors(data, "transfer_factors", drill.transfer_factors),
    )
    if drill.most_g > FULL_SHARE * drill.server_ml:
        raise UsageError(
            f"up to {drill.most_g:g} g do not go into a server of {drill.server_ml:g} ml with room"
            " to spare",
            f"name one of {drill.most_g / FULL_SHARE:.0f} ml or more as server_ml",
        )
    return replace(drill, needs=_text(data, "needs") if "needs" in data else _usual_needs(drill))


def _usual_needs(drill: Drill) -> str:
    return (
        f"an empty server of {drill.server_ml:g} ml or more on the scale, the scale's own display "
        f"covered, and {drill.most_g:g} g of plain water in the kettle: cold water will do"
    )


def _pour(data: Mapping[str, Any]) -> DrillPour:
    _only(data, {"mass_g", "flow_gps", "after_s", "name"}, "key of a pour")
    return DrillPour(
        mass_g=_number(data, "mass_g", 5.0, MOST_G),
        flow_gps=_number(data, "flow_gps", 0.5, FASTEST_GPS),
        after_s=_number(data, "after_s", 0.0, LONGEST_REST_S) if "after_s" in data else 0.0,
        name=printable(str(data.get("name", ""))),
    )


def _judged(data: Mapping[str, Any], pours: int) -> Judged:
    _only(data, {"measure", "band", "pour"}, "key of what is judged")
    return Judged(_measure(data), _number(data, "band", 0.01, MOST_G), _pour_number(data, pours))


def _asked(data: object, pours: int) -> Asked:
    if not isinstance(data, Mapping):
        raise UsageError(f"asks is {data!r:.60}", "make it a table with measure and pour")
    _only(data, {"measure", "pour"}, "key of asks")
    measure = _measure(data)
    if measure not in (PourMeasure.MASS, PourMeasure.FLOW):
        raise UsageError(f"asks for {measure.value}", "ask for mass or flow")
    number = _pour_number(data, pours)
    if measure is PourMeasure.FLOW and number is None:
        raise UsageError("asks for the flow of no pour", "say of which pour")
    return Asked(measure, number)


def _measure(data: Mapping[str, Any]) -> PourMeasure:
    value = data.get("measure")
    try:
        return PourMeasure(value)
    except ValueError:
        known = ", ".join(measure.value for measure in PourMeasure)
        raise UsageError(f"unknown measure {value!r:.60}", f"use {known}") from None


def _pour_number(data: Mapping[str, Any], pours: int) -> int | None:
    value = data.get("pour")
    if value is None:
        return None
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= pours:
        raise UsageError(f"pour {value!r:.60} does not exist", f"number them from 1 to {pours}")
    return value


def _tables(data: Mapping[str, Any], key: str, most: int) -> list[Mapping[str, Any]]:
    value = data.get(key)
    if not isinstance(value, list) or not 1 <= len(value) <= most:
        raise UsageError(
            f"it has no [[{key}]], or more than {most}", f"give it at least one [[{key}]]"
        )
    for each in value:
        if not isinstance(each, Mapping):
            raise UsageError(f"a {key} is {each!r:.60}", f"write it as [[{key}]]")
    return value


def _factors(data: Mapping[str, Any], key: str, usual: tuple[float, ...]) -> tuple[float, ...]:
    value = data.get(key, usual)
    if not isinstance(value, list | tuple) or not value:
        raise UsageError(f"{key} is {value!r:.60}", "make it a list of numbers, as [0.8, 1, 1.2]")
    for each in value:
        if not is_number(each) or not 0.1 <= each <= 10.0:
            raise UsageError(f"{key} has {each!r:.60}", "use numbers from 0.1 to 10")
    return tuple(float(each) for each in value)


def _number(data: Mapping[str, Any], key: str, least: float, most: float) -> float:
    remedy = f"make it a number from {least:g} to {most:g}"
    return number_in(data.get(key), key, least=least, most=most, remedy=remedy)


def _truth(data: Mapping[str, Any], key: str, *, usual: bool) -> bool:
    value = data.get(key, usual)
    if not isinstance(value, bool):
        raise UsageError(f"{key} is {value!r:.60}", "make it true or false")
    return value


def _text(data: Mapping[str, Any], key: str) -> str:
    value = data.get(key)
    if not isinstance(value, str) or not value.strip():
        raise UsageError(f"{key} is {value!r:.60}", "give it a text in quotes")
    return printable(value.strip(), LONGEST_TEXT)


def _only(data: Mapping[str, Any], known: set[str], noun: str) -> None:
    for key in data:
        if key not in known:
            raise UsageError(
                f"unknown {noun} {key!r:.60}", "known ones are " + ", ".join(sorted(known))
            )
