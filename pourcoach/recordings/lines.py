"""One input, one line of JSON: the tape's version 1, both ways."""

import json
from typing import Any

from pourcoach.domain.inputs import (
    Begin,
    Finish,
    Input,
    Link,
    Mark,
    Note,
    Reading,
    SelfEstimate,
    Shown,
    Sight,
    Silence,
    Tare,
    Undo,
)
from pourcoach.domain.number import is_number
from pourcoach.domain.printable import LONGEST_REMARK, printable
from pourcoach.domain.units import Seconds

# Milliseconds since 1970 stay below it, the largest that a scale's clock may show; a number above
# is damage, and sums of such numbers would run over.
LARGEST = 1e13
# A week. No brew lasts as long, and a replay that waited for a later time would seem to hang.
LONGEST_S = 7 * 86_400.0
# Past the last input: no silence that the program waits out is nearly as long.
LONGEST_END_S = 86_400.0
# Platform scales have four cells, some six or eight.
MOST_CORNERS = 16

_PLAIN: dict[str, type[Silence | Begin | Finish | Mark | Undo]] = {
    "silence": Silence,
    "begin": Begin,
    "finish": Finish,
    "mark": Mark,
    "undo": Undo,
}
# Made once: json.dumps makes another encoder for each line.
_encoded = json.JSONEncoder(ensure_ascii=False, separators=(", ", ": ")).encode
_SIGHTS = {sight.value: sight for sight in Sight}
_NAMES = {kind: name for name, kind in _PLAIN.items()}


def encode(item: Input) -> str:
    """The line for ``item``, without its line end. ``decode`` gives back an equal input."""
    data: Any
    match item:
        case Reading():
            data = [item.t_s, item.grams]
            if more := _more(item):
                data.append(more)
        case Note():
            data = {"t": item.t_s, "note": item.text}
        case Tare():
            data = {"t": item.t_s, "input": "tare"}
            if item.by_scale:
                data["by_scale"] = True
        case Link():
            data = {"t": item.t_s, "input": "link", "up": item.up}
            if item.why:
                data["why"] = item.why
        case SelfEstimate():
            data = {"t": item.t_s, "input": "estimate", "value": item.value}
        case Shown():
            data = {"t": item.t_s, "input": "shown", "what": item.what.value}
        case _:
            data = {"t": item.t_s, "input": _NAMES[type(item)]}
    return _encoded(data)


def _more(reading: Reading) -> dict[str, Any]:
    more: dict[str, Any] = {}
    if reading.device_s is not None:
        more["device_s"] = reading.device_s
    if reading.sequence is not None:
        more["sequence"] = reading.sequence
    if reading.corners_g:
        more["corners_g"] = list(reading.corners_g)
    if reading.stable is not None:
        more["stable"] = reading.stable
    return more


def decode(data: object) -> Input | None:
    """The input that a parsed line means; None for a kind of input unknown to this version.

    Raises ValueError saying what is wrong with it.
    """
    if isinstance(data, list):
        return _reading(data)
    if not isinstance(data, dict):
        raise ValueError("it is neither a reading nor an input")
    t_s = _time(data.get("t"))
    if "note" in data:
        return Note(t_s, printable(str(data["note"]), LONGEST_REMARK))
    kind = data.get("input")
    if kind == "tare":
        return Tare(t_s, by_scale=bool(data.get("by_scale", False)))
    if kind == "link":
        why = printable(str(data.get("why", "")), LONGEST_REMARK)
        return Link(t_s, up=bool(data.get("up", False)), why=why)
    if kind == "estimate":
        return SelfEstimate(t_s, _number(data.get("value"), "its value"))
    if kind == "shown":
        sight = _SIGHTS.get(str(data.get("what")))
        return None if sight is None else Shown(t_s, sight)
    if isinstance(kind, str) and kind in _PLAIN:
        return _PLAIN[kind](t_s)
    return None


def _reading(data: list[object]) -> Reading:
    if len(data) < 2:
        raise ValueError("a reading needs a time and a weight")
    t_s = _time(data[0])
    grams = _number(data[1], "its weight")
    if len(data) == 2:
        return Reading(t_s, grams)
    more = data[2]
    if not isinstance(more, dict):
        raise ValueError("what follows the weight is no object")
    device_s = more.get("device_s")
    sequence = more.get("sequence")
    stable = more.get("stable")
    corners = more.get("corners_g", [])
    if not isinstance(corners, list) or len(corners) > MOST_CORNERS:
        raise ValueError(f"its corners_g is no list of up to {MOST_CORNERS}")
    return Reading(
        t_s,
        grams,
        device_s=None if device_s is None else _number(device_s, "its device_s"),
        sequence=None if sequence is None else int(_number(sequence, "its sequence")),
        corners_g=tuple(_number(corner, "a corner weight") for corner in corners),
        stable=None if stable is None else bool(stable),
    )


def decode_end(value: object, last_s: Seconds) -> Seconds:
    """The moment of a clean finish after an input at ``last_s``.

    Raises ValueError for what is no number, before that input or more than a day after it.
    """
    end_s = _time(value)
    if not last_s <= end_s <= last_s + LONGEST_END_S:
        raise ValueError(f"its end at {end_s:g} s does not fit the last input at {last_s:g} s")
    return end_s


def _time(value: object) -> Seconds:
    t_s = _number(value, "its time")
    if abs(t_s) > LONGEST_S:
        raise ValueError(f"its time is {t_s:g} s, longer than any brew")
    return t_s


def _number(value: object, what: str) -> float:
    if not is_number(value):
        raise ValueError(f"{what} is {value!r:.40}, not a number")
    if not -LARGEST <= value <= LARGEST:
        raise ValueError(f"{what} is {value!r:.40}, no number that a scale sends")
    return float(value)
