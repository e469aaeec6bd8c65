"""What was seen when a scale was checked: inputs only, so that every figure can be worked out
again. Each part may be empty: it was left out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, Self

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.domain.number import number_in
from pourcoach.domain.units import Grams, Seconds
from pourcoach.weighing.figures.eccentricity import PLACES
from pourcoach.weighing.loads.known_load import LARGEST, KnownLoad
from pourcoach.weighing.loads.verification import USUAL_CAPACITY_G, USUAL_INTERVAL_G

VERSION = 1


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
        if not isinstance(data, Mapping) or data.get("pourcoach_check") != VERSION:
            raise UsageError(
                "this is no record of a check", f'it begins with "pourcoach_check": {VERSION}'
            )
        places = data.get("places", {})
        if not isinstance(places, Mapping):
            raise UsageError('"places" is no table', 'write {"centre": {…}, …}')
        for place in places:
            if place not in PLACES:
                raise UsageError(f"there is no place {place!r}", "use " + ", ".join(PLACES))
        small = _loads(data, "small")
        if len(small) not in (0, 2):
            raise UsageError('"small" is not two weighings', "weigh before and after adding")
        zeros = [
            KnownLoad.from_dict(data[key]) if key in data else None
            for key in ("zero_before", "zero_after")
        ]
        return cls(
            str(data.get("scale", "")),
            str(data.get("made_at", "")),
            _number(data, "interval_g", USUAL_INTERVAL_G),
            _number(data, "capacity_g", USUAL_CAPACITY_G),
            _readings(data.get("still", []), "still"),
            _loads(data, "loads"),
            _loads(data, "repeats"),
            {place: KnownLoad.from_dict(load) for place, load in places.items()},
            (small[0], small[1]) if small else None,
            _readings(data.get("held", []), "held"),
            zeros[0],
            zeros[1],
            tuple(_readings(rows, "lifted") for rows in _list(data, "lifted")),
            _readings(data.get("pressed", []), "pressed"),
            tuple(_seconds(value) for value in _list(data, "presses_s")),
            str(data.get("calibration", "")),
        )


def _rows(readings: Sequence[Reading]) -> list[list[float | int | None]]:
    """[seconds, grams], and where the scale gives them its own seconds and sequence number."""
    return [
        [reading.t_s, reading.grams]
        if reading.device_s is None and reading.sequence is None
        else [reading.t_s, reading.grams, reading.device_s, reading.sequence]
        for reading in readings
    ]


def _readings(rows: Any, key: str) -> tuple[Reading, ...]:
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
        raise UsageError(f'"{key}" is no list of readings', "write [[seconds, grams], …]") from None
    if not all(abs(one.t_s) <= LARGEST and abs(one.grams) <= LARGEST for one in readings):
        raise UsageError(
            f'"{key}" holds something that is no number', f"write numbers up to {LARGEST:g}"
        )
    if any(two.t_s < one.t_s for one, two in pairwise(readings)):
        raise UsageError(f'"{key}" has readings out of order', "let their seconds rise")
    return readings


def _loads(data: Mapping[str, Any], key: str) -> tuple[KnownLoad, ...]:
    return tuple(KnownLoad.from_dict(load) for load in _list(data, key))


def _list(data: Mapping[str, Any], key: str) -> list[Any]:
    value = data.get(key, [])
    if not isinstance(value, list):
        raise UsageError(f'"{key}" is no list', "write […]")
    return value


def _number(data: Mapping[str, Any], key: str, usual: float) -> float:
    return number_in(data.get(key, usual), f'"{key}"', remedy="make it a number, in grams")


def _seconds(value: Any) -> float:
    return number_in(value, 'one of "presses_s"', remedy="make it a number of seconds")
