"""A line pattern made ready to match. Whatever the pattern, matching takes linear time."""

import re
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.wire.description import LinePattern
from pourcoach.wire.mass_unit import GRAMS_IN

FIELDS = ("weight", "unit", "sign", "stable", "sequence", "ms", "skip")
# More than any line of a scale has; keeps a pattern readable.
MOST_FIELDS = 16

# A brace of the line's own is written twice, as in other templates.
_PIECE = re.compile(r"\{([^{}]*)\}|([ \t]+)|([^{} \t]|\{\{|\}\})|([{}])")


@dataclass(frozen=True, slots=True)
class MatchedLine:
    """What stood at the pattern's places; None where the pattern has no such place."""

    value: float
    unit_g: float | None
    """Grams in the unit that stood in the line."""
    stable: bool | None
    sequence: int | None
    device_ms: int | None


class LineMatcher:
    """A pattern, compiled."""

    def __init__(self, pattern: LinePattern) -> None:
        """Raises UsageError saying what is wrong with the template."""
        self._stable_word = pattern.stable_word
        self._decimal = pattern.decimal
        self._expression = re.compile(_expression(pattern.template, pattern.decimal))
        self._fields = self._expression.groupindex

    def match(self, line: bytes) -> MatchedLine | None:
        """None where the line is not of this form."""
        text = line.strip(b"\x00\x02\x03 \t").decode("latin-1")
        found = self._expression.fullmatch(text)
        if found is None:
            return None
        number = found["weight"].replace(" ", "").replace(self._decimal, ".")
        value = float(number)
        if self._text(found, "sign") == "-":
            value = -value
        unit = self._text(found, "unit")
        unit_g = None if unit is None else GRAMS_IN.get(unit.lower())
        if unit is not None and unit_g is None:
            return None
        stable = self._text(found, "stable")
        return MatchedLine(
            value,
            unit_g,
            None if stable is None else stable == self._stable_word,
            self._whole(found, "sequence"),
            self._whole(found, "ms"),
        )

    def _text(self, found: re.Match[str], name: str) -> str | None:
        return found[name] if name in self._fields else None

    def _whole(self, found: re.Match[str], name: str) -> int | None:
        text = self._text(found, name)
        return None if text is None else int(text)


def _expression(template: str, decimal: str) -> str:
    """All repetitions are possessive, so that no line, however made, is tried in two ways."""
    pieces = list(_PIECE.finditer(template))
    names = [piece[1] for piece in pieces if piece[1] is not None]
    if any(piece[4] for piece in pieces):
        raise UsageError(
            "a brace has no partner", "write places as {weight}, and a brace itself as {{ or }}"
        )
    for name in names:
        if name not in FIELDS:
            raise UsageError(
                f"there is no place {name!r}",
                "places are " + ", ".join(f"{{{f}}}" for f in FIELDS),
            )
        if name != "skip" and names.count(name) > 1:
            raise UsageError(f"{{{name}}} stands twice", "let it stand once")
    if "weight" not in names:
        raise UsageError("there is no {weight}", "say where the weight stands")
    if len(names) > MOST_FIELDS:
        raise UsageError(f"there are more than {MOST_FIELDS} places", "leave some out")
    parts = []
    for index, piece in enumerate(pieces):
        following = pieces[index + 1] if index + 1 < len(pieces) else None
        parts.append(_part(piece, following, re.escape(decimal)))
    return "".join(parts)


def _part(piece: re.Match[str], following: re.Match[str] | None, decimal: str) -> str:
    name, blank, literal, _ = piece.groups()
    if blank:
        return r"[ \t]*+"
    if literal:
        return re.escape(literal[0])
    if name == "weight":
        digits = rf"(?:[0-9]{{1,9}}+(?:{decimal}[0-9]{{0,9}}+)?+|{decimal}[0-9]{{1,9}}+)"
        return rf"(?P<weight>[+-]?+ *+{digits})"
    if name == "unit":
        return "(?P<unit>[A-Za-z]{1,5}+)"
    if name == "sign":
        return "(?P<sign>[+-]?+)"
    if name in ("sequence", "ms"):
        return f"(?P<{name}>[0-9]{{1,10}}+)"
    # Free text runs up to the next character of the pattern, or to a blank, or to the end.
    if following is None:
        stop = ""
    elif following[1] is not None:
        raise UsageError(
            f"{{{name}}} runs into {{{following[1]}}}", "put a character or a blank between them"
        )
    else:
        stop = r" \t" if following[2] else re.escape(following[3][0])
    free = f"[^{stop}]*+" if stop else "[^\n]*+"
    return free if name == "skip" else f"(?P<stable>{free})"
