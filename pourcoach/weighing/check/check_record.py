"""What was seen when a scale was checked: inputs only, so that every figure can be worked out
again. Each part may be empty: it was left out.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.weighing.figures.eccentricity import PLACES
from pourcoach.weighing.loads.known_load import LARGEST, KnownLoad
from pourcoach.weighing.loads.verification import USUAL_CAPACITY_G, USUAL_INTERVAL_G

VERSION = 1
MOST_WEIGHINGS = 10_000
"""Of one kind; nobody puts a load on so often."""


@dataclass(frozen=True, slots=True)
class CheckRecord:
    """One check of one scale."""

    scale: str
    """Its address or name."""
    made_at: str = ""
    """ISO 8601; empty where it is not known."""
    interval_g: Grams = USUAL_INTERVAL_G
    """The step by which the scale is to be trusted."""
    capacity_g: Grams = USUAL_CAPACITY_G
    still: tuple[Reading, ...] = ()
    """The empty scale at rest: zero, noise, rate."""
    loads: tuple[KnownLoad, ...] = ()
    """Over the range, the empty scale (0 g) among them."""
    repeats: tuple[KnownLoad, ...] = ()
    """The same load again and again."""
    places: Mapping[str, KnownLoad] = field(default_factory=dict)
    """The same load by place, keys of ``eccentricity.PLACES``."""
    small: tuple[KnownLoad, KnownLoad] | None = None
    """A load, and the same with a little added."""
    held: tuple[Reading, ...] = ()
    """A load left standing, from when it had come to rest."""
    zero_before: KnownLoad | None = None
    """The empty scale before that load…"""
    zero_after: KnownLoad | None = None
    """…and after it."""
    lifted: tuple[tuple[Reading, ...], ...] = ()
    """Each a load taken off at once, from rest to rest."""
    pressed: tuple[Reading, ...] = ()
    """Readings while platform and key were pressed together…"""
    presses_s: tuple[Seconds, ...] = ()
    """…and when the key was, on the same clock."""
    calibration: str = ""
    """The calibration that its readings went through, in words; empty where they came as sent."""

    def as_dict(self) -> dict[str, Any]:
        """For JSON; parts that were left out are not there. ``from_dict`` reads it back."""
        data: dict[str, Any] = {
            "pourcoach_check": VERSION,
            "scale": self.scale,
            "made_at": self.made_at,
            "calibration": self.calibration,
            "interval_g": self.interval_g,
            "capacity_g": self.capacity_g,
        }
        for key in ("still", "held", "pressed"):
            if getattr(self, key):
                data[key] = _rows(getattr(self, key))
        for key in ("loads", "repeats", "small"):
            if getattr(self, key):
                data[key] = [load.as_dict() for load in getattr(self, key)]
        if self.places:
            data["places"] = {place: load.as_dict() for place, load in self.places.items()}
        for key in ("zero_before", "zero_after"):
            load = getattr(self, key)
            if load is not None:
                data[key] = load.as_dict()
        if self.lifted:
            data["lifted"] = [_rows(readings) for readings in self.lifted]
        if self.presses_s:
            data["presses_s"] = list(self.presses_s)
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Raises UsageError naming the part that is wrong."""
        table = CheckedTable("the record", data if isinstance(data, Mapping) else {})
        version = table.raw("pourcoach_check")
        if version is None:
            raise UsageError(
                "this is no record of a check", f'it begins with "pourcoach_check": {VERSION}'
            )
        if version != VERSION:
            raise table.wrong(
                "pourcoach_check", f"is {version!r:.20}", f"this program reads version {VERSION}"
            )
        places = table.table("places", optional=True)
        for place in places.all_keys():
            if place not in PLACES:
                raise places.wrong(place, "is no place", "use " + ", ".join(PLACES))
        small = _loads(table, "small")
        if len(small) not in (0, 2):
            raise table.wrong("small", "is not two weighings", "weigh before and after adding")
        return cls(
            table.text("scale", ""),
            table.text("made_at", ""),
            _grams(table, "interval_g", USUAL_INTERVAL_G),
            _grams(table, "capacity_g", USUAL_CAPACITY_G),
            _readings(table, "still"),
            _loads(table, "loads"),
            _loads(table, "repeats"),
            {place: KnownLoad.from_table(places.table(place)) for place in places.all_keys()},
            (small[0], small[1]) if small else None,
            _readings(table, "held"),
            table.maybe("zero_before", KnownLoad.from_table),
            table.maybe("zero_after", KnownLoad.from_table),
            tuple(_rows_read(table, "lifted", rows) for rows in _list(table, "lifted")),
            _readings(table, "pressed"),
            table.numbers("presses_s", least=-LARGEST, most=LARGEST)
            if "presses_s" in table
            else (),
            table.text("calibration", ""),
        )


def _rows(readings: Sequence[Reading]) -> list[list[float | int | None]]:
    """[seconds, grams], and where the scale gives them its own seconds and sequence number."""
    return [
        [reading.t_s, reading.grams]
        if reading.device_s is None and reading.sequence is None
        else [reading.t_s, reading.grams, reading.device_s, reading.sequence]
        for reading in readings
    ]


def _readings(table: CheckedTable, key: str) -> tuple[Reading, ...]:
    return _rows_read(table, key, _list(table, key))


def _rows_read(table: CheckedTable, key: str, rows: Any) -> tuple[Reading, ...]:
    """Raises UsageError for what ``_rows`` does not write."""
    try:
        readings = tuple(
            Reading(
                float(row[0]),
                float(row[1]),
                None if len(row) < 3 or row[2] is None else float(row[2]),
                None if len(row) < 4 or row[3] is None else int(row[3]),
            )
            for row in rows
        )
    except (TypeError, ValueError, IndexError, KeyError, OverflowError):
        raise table.wrong(key, "is no list of readings", "write [[seconds, grams], …]") from None
    if not all(abs(one.t_s) <= LARGEST and abs(one.grams) <= LARGEST for one in readings):
        raise table.wrong(
            key, "holds something that is no number", f"write numbers up to {LARGEST:g}"
        )
    if any(two.t_s < one.t_s for one, two in pairwise(readings)):
        raise table.wrong(key, "has readings out of order", "let their seconds rise")
    return readings


def _loads(table: CheckedTable, key: str) -> tuple[KnownLoad, ...]:
    return tuple(map(KnownLoad.from_table, table.tables(key, MOST_WEIGHINGS, least=0)))


def _list(table: CheckedTable, key: str) -> list[Any]:
    value = table.raw(key)
    if not isinstance(value, list | None):
        raise table.wrong(key, "is no list", "write […]")
    return value or []


def _grams(table: CheckedTable, key: str, usual: Grams) -> Grams:
    return table.number(key, usual, least=-math.inf, remedy="make it a number, in grams")
