"""Finding the weight among the columns of lines of text."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourcoach.domain.units import Grams
from pourcoach.wire.description import LinePattern
from pourcoach.wire.lines.line_splitter import LineSplitter
from pourcoach.wire.mass_unit import GRAMS_IN
from pourcoach.wire.unknown.capture import Capture
from pourcoach.wire.unknown.levels import Levels, levels_of

# Text is lines whose bytes are nearly all printable.
TEXT_SHARE = 0.98
# Stand for braces while a pattern is made: of Unicode's private use, so in no line.
_OPENING, _CLOSING = "\ue000", "\ue001"
_UNIT = re.compile(r"[ \t]*([A-Za-z]{1,3})(?![A-Za-z])")
# A sign may stand apart from its digits.
_NUMBERS = {
    ".": re.compile(r"(?:[+-] *)?(?:\d+(?:\.\d+)?|\.\d+)"),
    # Digits next to a point are a number with a decimal point, and none with a comma.
    ",": re.compile(r"(?:[+-] *)?(?<![.\d])(?:\d+(?:,\d+)?|,\d+)(?![.\d])"),
}


@dataclass(frozen=True, slots=True)
class LineGuess:
    """A pattern under which a column follows the weight."""

    pattern: LinePattern
    levels: Levels
    factor: float
    unit: str
    plainness: int
    column: int
    """From 1, among the numbers of the line."""
    digits: int
    """Length of the longest such number: of two ways to cut a line, the longer has all of it."""
    sample: str
    """A line with the weight on, that number in brackets."""
    says_g: Grams | None
    """By how much the line says that the weight changed it; None where it has no unit."""


@dataclass(frozen=True, slots=True)
class _Split:
    """A line as numbers and what stands between: one text more than numbers."""

    texts: tuple[str, ...]
    numbers: tuple[str, ...]


def capture_is_text(capture: Capture) -> bool:
    """Whether the bytes are lines."""
    data = b"".join(capture.streams())
    printable = sum(0x20 <= byte < 0x7F or byte in b"\t\r\n\x02\x03" for byte in data)
    ends = data.count(b"\n") + data.count(b"\r")
    return bool(data) and printable >= TEXT_SHARE * len(data) and ends >= 2 * len(capture.stretches)


def guess_lines(capture: Capture) -> list[LineGuess]:
    """The likeliest first; empty where no column follows the weight."""
    stretches = [_lines(stream) for stream in capture.streams()]
    guesses = []
    for decimal in (".", ","):
        split = [[_split(line, decimal) for line in lines] for lines in stretches]
        counts = Counter(len(one.numbers) for lines in split for one in lines)
        for count, _ in counts.most_common(2):
            kept = [[one for one in lines if len(one.numbers) == count] for lines in split]
            for column in range(count):
                guess = _guess(kept, column, decimal, capture.known_g)
                if guess is not None:
                    guesses.append(guess)
    return sorted(guesses, key=lambda guess: (guess.plainness, -guess.digits))


def _lines(stream: bytes) -> list[str]:
    """Whole lines; the first and the last may be cut."""
    lines = LineSplitter().feed(stream)
    return [
        line.strip(b"\x00\x02\x03 \t").decode("latin-1") for line in lines[1:] if line is not None
    ]


def _split(line: str, decimal: str) -> _Split:
    found = list(_NUMBERS[decimal].finditer(line))
    edges = [0, *(edge for match in found for edge in match.span()), len(line)]
    texts = [line[one:two] for one, two in zip(edges[::2], edges[1::2], strict=True)]
    return _Split(tuple(texts), tuple(match[0] for match in found))


def _value(number: str) -> float:
    return float(number.replace(" ", "").replace(",", "."))


def _guess(
    stretches: Sequence[Sequence[_Split]], column: int, decimal: str, known_g: Grams
) -> LineGuess | None:
    columns = [[_value(one.numbers[column]) for one in lines] for lines in stretches[:3]]
    levels = levels_of(columns, known_g)
    if levels is None:
        return None
    unit = _unit_after(stretches, column)
    if unit is None:
        factor, unit_used, plainness = levels.factor(known_g)
    else:
        # The line says its unit: then the factor is 1, or the scale is off.
        seen_g = levels.change * GRAMS_IN[unit]
        exact = known_g / seen_g
        right = abs(abs(exact) - 1.0) <= 0.1
        factor = (1.0 if exact > 0 else -1.0) if right else exact
        unit_used, plainness = unit, 0 if right else 3
    template = _template(stretches, column, unit is not None)
    if template is None:
        return None
    pattern = LinePattern(template, decimal)
    digits = max(len(one.numbers[column].strip()) for lines in stretches for one in lines)
    return LineGuess(
        pattern,
        levels,
        factor,
        unit_used,
        plainness,
        column + 1,
        digits,
        _sample(stretches[1][-1], column),
        None if unit is None else levels.change * GRAMS_IN[unit],
    )


def _sample(line: _Split, column: int) -> str:
    numbers = [f"[{n.strip()}]" if i == column else n for i, n in enumerate(line.numbers)]
    return "".join(
        piece for pair in zip(line.texts, [*numbers, ""], strict=True) for piece in pair
    ).strip()


def _unit_after(stretches: Sequence[Sequence[_Split]], column: int) -> str | None:
    """The unit of mass that stands behind the number in every line; None where there is none."""
    units = set()
    for lines in stretches:
        for one in lines:
            match = _UNIT.match(one.texts[column + 1])
            units.add(match[1].lower() if match else "")
    unit = units.pop() if len(units) == 1 else ""
    return unit if unit in GRAMS_IN else None


def _template(stretches: Sequence[Sequence[_Split]], column: int, with_unit: bool) -> str | None:
    """None where what stands around the weight cannot be put into a pattern."""
    every = [one for lines in stretches for one in lines]
    pieces = []
    for index in range(len(every[0].texts)):
        texts = [one.texts[index].replace("{", _OPENING).replace("}", _CLOSING) for one in every]
        if with_unit and index == column + 1:
            # Cut off what the unit's own place stands for.
            texts = [_UNIT.sub("", text, count=1) for text in texts]
            pieces.append(" {unit}")
        pieces.append(_text_piece(texts))
        if index < len(every[0].numbers):
            pieces.append(_number_piece(stretches, index, column))
    # Braces of the line's own are kept apart from those around places until the end.
    template = "".join(piece for piece in pieces if piece)
    # Blanks before a weight come and go with its digits and its sign.
    template = re.sub(r"(?<=[^{}])\{weight\}", " {weight}", template)
    template = re.sub(r"[ \t]+", " ", template)
    # Next to each other, one place for free text does for both.
    template = re.sub(r"(?:\{skip\})+", "{skip}", template).strip()
    if re.search(r"\}\{", template):
        return None
    return template.replace(_OPENING, "{{").replace(_CLOSING, "}}")


def _text_piece(texts: Sequence[str]) -> str:
    """What all have, with a free place where they differ."""
    kinds = set(texts)
    if len({re.sub(r"[ \t]+", " ", text) for text in kinds}) == 1:
        return texts[0]
    stripped = {text.strip() for text in kinds}
    if len(stripped) == 1:
        # Only the blanks differ, and a blank in a pattern stands for none as well.
        before = " " if any(text[:1].isspace() for text in kinds) else ""
        behind = " " if any(text[-1:].isspace() for text in kinds) else ""
        return f"{before}{stripped.pop()}{behind}"
    head = _common(sorted(kinds))
    tail = _common(sorted(text[::-1] for text in kinds))[::-1]
    shortest = min(len(text) for text in kinds)
    tail = tail[max(0, len(head) + len(tail) - shortest) :]
    return f"{head}{{skip}}{tail}"


def _common(texts: Sequence[str]) -> str:
    first, last = texts[0], texts[-1]
    length = 0
    while length < min(len(first), len(last)) and first[length] == last[length]:
        length += 1
    return first[:length]


def _number_piece(stretches: Sequence[Sequence[_Split]], index: int, column: int) -> str:
    if index == column:
        return "{weight}"
    steps = [
        _value(two.numbers[index]) - _value(one.numbers[index])
        for lines in stretches
        for one, two in pairwise(lines)
    ]
    whole = all(one.numbers[index].isdecimal() for lines in stretches for one in lines)
    if whole and steps and steps.count(1.0) >= 0.9 * len(steps):
        return "{sequence}"
    return "{skip}"
