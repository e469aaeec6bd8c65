"""Text from outside, made safe to show: the one place that every surface uses.

Names, notes, addresses and errors of other programs may hold anything. A control character can
clear a terminal or set its title, a direction mark can turn a line round, a line end can make one
line look like two. What cannot be printed is shown by its number, as ``\\x1b``.
"""

import json
import math
import re
from typing import Any

LONGEST_NAME = 80
"""Of a stage, a person, a brewer: what still fits a line of a report (common practice)."""
LONGEST_REMARK = 2000
"""Of a note or a sentence on the link: a page of text."""
_CUT = "…"

# Joiners change nothing but how letters stand together; Persian names and some emoji need them.
_JOINERS = "\u200c\u200d"


def printable(text: str, longest: int = LONGEST_NAME) -> str:
    """One line of at most ``longest`` characters, with nothing in it that a terminal obeys.

    Applied again it changes nothing.
    """
    if len(text) > longest:
        text = text[: longest - 1] + _CUT
    if text.isprintable():
        return text
    shown = "".join(map(_shown, text))
    return shown if len(shown) <= longest else shown[: longest - 1] + _CUT


def printable_lines(text: str) -> str:
    """The same for text of several lines and any length, as it goes to a terminal."""
    if text.isascii() and text.replace("\n", "").isprintable():
        return text
    return "".join(letter if letter == "\n" else _shown(letter) for letter in text)


def json_text(data: Any) -> str:
    """One line of JSON, valid whatever is in ``data``.

    What cannot be printed is escaped, so the value is unchanged. What is no number in JSON
    (infinity, not-a-number) becomes null.
    """
    try:
        text = json.dumps(data, ensure_ascii=False, allow_nan=False)
    except ValueError:
        text = json.dumps(_finite(data), ensure_ascii=False, allow_nan=False)
    return text if text.isprintable() else re.sub(r"[^\x20-\x7e]", _escaped, text)


def _shown(letter: str) -> str:
    if letter.isprintable() or letter in _JOINERS:
        return letter
    if letter == "\t" or (letter.isspace() and ord(letter) > 0xFF) or letter == "\xa0":
        return " "
    return letter.encode("unicode_escape", "surrogatepass").decode("ascii")


def _escaped(match: re.Match[str]) -> str:
    letter = match[0]
    return letter if letter.isprintable() else json.dumps(letter)[1:-1]


def _finite(data: Any) -> Any:
    if isinstance(data, float):
        return data if math.isfinite(data) else None
    if isinstance(data, dict):
        return {key: _finite(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_finite(value) for value in data]
    return data
