"""What is added after the brew, one line of JSON each: the tape's ``"input": "after"``.

A line has a time like any input, the tape's last, so that every reader of version 1 passes it over.
"""

from collections.abc import Mapping
from typing import Any

from pourcoach.domain.afterwards import (
    CUP_QUALITIES,
    LARGEST_SCORE,
    Afterword,
    CupNote,
    Fact,
    FactKind,
    Remark,
    RemarkKind,
    StrengthReading,
    Tag,
    check_cup_note,
)
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import is_number
from pourcoach.domain.printable import LONGEST_NAME, LONGEST_REMARK, printable
from pourcoach.domain.units import Seconds

INPUT = "after"
# No cup is weighed in more; a number above is damage.
LARGEST_G = 100_000.0

_FACTS = {kind.value: kind for kind in FactKind}
_REMARKS = {kind.value: kind for kind in RemarkKind}


def encode_afterword(word: Afterword) -> dict[str, Any]:
    """The line's object, but for its time. ``decode_afterword`` gives back an equal value."""
    data: dict[str, Any] = {"input": INPUT}
    match word:
        case Remark():
            data |= {"at": word.made_at, "about": word.kind.value, "text": word.text}
        case StrengthReading():
            data |= {
                "at": word.taken_at,
                "about": "strength",
                "strength": word.strength,
                "strength_error": word.strength_error,
            }
            if word.beverage_g is not None:
                data["beverage_g"] = word.beverage_g
        case CupNote():
            data |= {"at": word.made_at, "about": "cup", "scale": [word.least, word.most]}
            data |= word.scores
            if word.text:
                data["text"] = word.text
        case Tag():
            data |= {"at": word.made_at, "about": "tag", "name": word.name, "on": word.on}
        case Fact():
            data |= {"at": word.made_at, "about": word.kind.value, "name": word.name}
    return data


def is_afterword(data: object) -> bool:
    """Whether a parsed line is one, of whatever kind."""
    return isinstance(data, dict) and data.get("input") == INPUT


def decode_afterword(data: Mapping[str, Any]) -> Afterword | None:
    """What a parsed line means; None for what this version does not know or cannot read.

    A line that is damaged is passed over: the rest of the tape is as good without it.
    """
    at = printable(str(data.get("at", "")))
    try:
        return _decoded(str(data.get("about")), at, data)
    except (ValueError, TypeError, UsageError):
        return None


def at_end(data: Mapping[str, Any], t_s: Seconds) -> dict[str, Any]:
    """The line's object with its time first."""
    return {"t": t_s} | {key: value for key, value in data.items() if key != "t"}


def _decoded(about: str, at: str, data: Mapping[str, Any]) -> Afterword | None:
    text = printable(str(data.get("text", "")), LONGEST_REMARK)
    name = printable(str(data.get("name", "")), LONGEST_NAME)
    match about:
        case "strength":
            beverage_g = data.get("beverage_g")
            return StrengthReading(
                _number(data["strength"], 1.0),
                _number(data["strength_error"], 1.0),
                None if beverage_g is None else _number(beverage_g, LARGEST_G),
                at,
            )
        case "cup":
            least, most = data["scale"]
            scores = {
                quality: _number(data[quality], LARGEST_SCORE, -LARGEST_SCORE)
                for quality in CUP_QUALITIES
                if data.get(quality) is not None
            }
            return check_cup_note(
                CupNote(
                    at,
                    _number(least, LARGEST_SCORE, -LARGEST_SCORE),
                    _number(most, LARGEST_SCORE, -LARGEST_SCORE),
                    **scores,
                    text=text,
                )
            )
        case "tag":
            return Tag(name, at, bool(data.get("on", True))) if name else None
    if about in _FACTS:
        return Fact(_FACTS[about], name, at)
    if about in _REMARKS:
        return Remark(_REMARKS[about], text, at)
    return None


def _number(value: object, most: float, least: float = 0.0) -> float:
    if not is_number(value) or not least <= value <= most:
        raise ValueError("no number that can be meant")
    return float(value)
