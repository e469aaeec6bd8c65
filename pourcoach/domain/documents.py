"""JSON and TOML from anywhere into Python values, without trusting what is in them."""

import json
import re
import tomllib
from typing import Any, NoReturn

LONGEST_DOCUMENT = 1_000_000
"""In characters. A plan, a rubric or the settings are some kilobytes."""


# A whole number of more digits has no place in a float, and long ones take long to read.
_LONG_NUMBER = re.compile(r"\d{300}")
_LONG = 300


class DocumentError(ValueError):
    """The text is no such document; the message says why, in a few words."""

    def __init__(self, why: str, where: str = "") -> None:
        self.where = where
        """In a text of several lines, the line and what is wrong there; else empty."""
        super().__init__(why)


def from_json(text: str) -> Any:
    """The value of one JSON text. Raises DocumentError; numbers without end are refused too."""
    _refuse_long_numbers(text)
    try:
        return _DECODER.decode(text)
    except DocumentError:
        raise
    except RecursionError:
        raise DocumentError("it is nested too deeply") from None
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}: {error.msg}"
        raise DocumentError("it is no JSON", where) from None
    except ValueError:
        raise DocumentError("it is no JSON") from None


def json_object(line: str | bytes) -> dict[str, Any] | None:
    """The object that a line of JSON holds; None where it holds none. Bytes that are not UTF-8 are
    replaced.
    """
    try:
        data = from_json(line if isinstance(line, str) else line.decode("utf-8", "replace"))
    except DocumentError:
        return None
    return data if isinstance(data, dict) else None


def from_toml(text: str) -> dict[str, Any]:
    """The table of a TOML text. Raises DocumentError naming the line."""
    if len(text) > LONGEST_DOCUMENT:
        raise DocumentError(f"it is longer than {LONGEST_DOCUMENT:,} characters".replace(",", " "))
    _refuse_long_numbers(text)
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise DocumentError("it is nested too deeply") from None
    except ValueError as error:
        raise DocumentError(str(error)) from None


def _refuse_long_numbers(text: str) -> None:
    if len(text) >= _LONG and _LONG_NUMBER.search(text):
        raise DocumentError(f"a number in it has {_LONG} digits or more")


def _refuse(name: str) -> NoReturn:
    raise DocumentError(f"{name} is no number")


# Made once: json.loads would make one for each line of a tape.
_DECODER = json.JSONDecoder(parse_constant=_refuse)
