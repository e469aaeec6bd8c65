"""A plain line: a weight as general bench scales print it, with what stands around it.

``12.34``, ``+012.3 g``, ``ST,GS,-  0.5 kg``, ``S D  100,05 g``, ``1:  12.3 g  2:  45.6 g``.
What could be read in two ways is not guessed at, it is dropped.
"""

import re
from dataclasses import dataclass

from pourcoach.domain.units import Grams
from pourcoach.wire.decoder import MOST_G, DropReason
from pourcoach.wire.mass_unit import GRAMS_IN

_UNITS = {**GRAMS_IN, "lbs": GRAMS_IN["lb"], "gram": 1.0, "grams": 1.0}
# Other things a scale prints a number of: counting mode, carats, troy ounces, per cent, force.
_OTHER_UNITS = {"pcs", "pc", "ct", "ozt", "dwt", "gn", "tl", "mo", "%", "ml", "v", "mv", "degc"}
_STABLE_WORDS = {"st", "s", "stable"}
_UNSTABLE_WORDS = {"us", "d", "sd", "unstable", "dynamic", "motion"}
_RANGE_WORDS = {"ol", "ul", "over", "under", "overload", "underload", "err", "error", "hi", "lo"}
# Gross, net and the like: they say which weight it is, and change nothing here.
_WEIGHT_WORDS = {"gs", "nt", "g", "n", "b", "t", "tr", "wt", "gross", "net", "tare", "weight", "w"}
_KNOWN_WORDS = _STABLE_WORDS | _UNSTABLE_WORDS | _RANGE_WORDS | _WEIGHT_WORDS | {"ch", "a", "b"}

_AROUND = b"\x00\x02\x03 \t"
_TEXT = re.compile(r"[\t\x20-\x7e]+")
_TIME_OR_DATE = re.compile(r"\d+(?::\d+){1,2}\b(?!\s*[:=])|\d+(?:[/-]\d+){2}")
_LABEL = re.compile(r"(?<![.,\d])\d+\s*[:=)]|#\d+|[A-Za-z_]+\d[\w]*")
_NUMBER = re.compile(
    r"(?:(?P<sign>[+-])[ \t]*|(?<![\d.,]))(?P<digits>\d+(?:[.,]\d+)*|[.,]\d+)"
    r"(?:[ \t]*(?P<unit>[A-Za-z]+|%))?"
)
_GROUPED = re.compile(r"\d{1,3}(?:,\d{3})+\.\d+|\d{1,3}(?:\.\d{3})+,\d+")
_RANGE_MARKS = re.compile(r"[-_^=]{4,}|\bH{3,}\b|\bL{3,}\b")


@dataclass(frozen=True, slots=True)
class PlainLine:
    """What one line says."""

    channels_g: tuple[Grams, ...]
    """At least one."""
    stable: bool | None
    """None where the line has no mark for it."""


@dataclass(frozen=True, slots=True)
class _Number:
    value: float
    unit: str | None


def is_text(line: bytes) -> bool:
    """Whether a line is printable ASCII but for what frames it."""
    return _TEXT.fullmatch(line.strip(_AROUND).decode("latin-1")) is not None


def parse_plain(
    line: bytes, channel: int | None = None, most_g: Grams = MOST_G
) -> PlainLine | DropReason:
    """Read one line without its end.

    ``channel`` (from 1) says that several bare numbers in a line are channels, not riddles.
    More than ``most_g`` is out of range.
    """
    text = line.strip(_AROUND).decode("latin-1")
    if _TEXT.fullmatch(text) is None:
        return DropReason.NOT_TEXT
    if _RANGE_MARKS.search(text):
        return DropReason.OUT_OF_RANGE
    text = _LABEL.sub(" ", _TIME_OR_DATE.sub(" ", text))
    numbers: list[_Number] = []
    for match in _NUMBER.finditer(text):
        found = _numbers_of(match)
        if isinstance(found, DropReason):
            return found
        numbers += found
    words = [word.lower() for word in re.findall(r"[A-Za-z]+", _NUMBER.sub(" ", text))]
    words += [word for word in (_trailing_word(m) for m in _NUMBER.finditer(text)) if word]
    if _RANGE_WORDS & set(words):
        return DropReason.OUT_OF_RANGE
    weights = _add_pounds_and_ounces([number for number in numbers if number.unit])
    if not weights:
        # Without a unit only known words make a weight of it: a start-up banner has numbers too.
        if not numbers or not _KNOWN_WORDS.issuperset(words):
            return DropReason.NO_NUMBER
        if len(numbers) > 1 and channel is None:
            return DropReason.AMBIGUOUS
        weights = [number.value for number in numbers]
    if any(abs(grams) > most_g for grams in weights):
        return DropReason.OUT_OF_RANGE
    return PlainLine(tuple(weights), _stability(text, set(words)))


def _numbers_of(match: re.Match[str]) -> list[_Number] | DropReason:
    sign = -1.0 if match["sign"] == "-" else 1.0
    digits = match["digits"]
    unit = (match["unit"] or "").lower()
    if unit in _OTHER_UNITS:
        return DropReason.UNIT
    if _GROUPED.fullmatch(digits):
        return DropReason.AMBIGUOUS
    columns = digits.split(",") if "." in digits or digits.count(",") > 1 else [digits]
    numbers = []
    for index, column in enumerate(columns):
        if column.count(".") > 1:
            return DropReason.AMBIGUOUS
        value = float(column.replace(",", ".")) * (sign if index == 0 else 1.0)
        last = index == len(columns) - 1
        numbers.append(_Number(value, unit if last and unit in _UNITS else None))
    return numbers


def _trailing_word(match: re.Match[str]) -> str | None:
    word = (match["unit"] or "").lower()
    return None if word in _UNITS else word


def _add_pounds_and_ounces(numbers: list[_Number]) -> list[Grams]:
    weights: list[Grams] = []
    before: str | None = None
    for number in numbers:
        grams = number.value * _UNITS[number.unit or "g"]
        if number.unit == "oz" and before in ("lb", "lbs"):
            # "-1 lb 2.0 oz": the sign stands once, before the pounds.
            weights[-1] += -grams if weights[-1] < 0 else grams
        else:
            weights.append(grams)
        before = number.unit
    return weights


def _stability(text: str, words: set[str]) -> bool | None:
    if "?" in text or "~" in text or _UNSTABLE_WORDS & words:
        return False
    return True if _STABLE_WORDS & words else None
