"""Numbers as people type them, and as files from anywhere hold them."""

import math
import re
from typing import TypeGuard

from pourcoach.domain.errors import UsageError

NUMBER = r"[-+−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d+)?"
"""The pattern of one number, for parsers that find it beside a unit."""

# "1,600" is 1600 to some and 1.6 to others; "0,125" and "1,25" can only be one thing.
_EITHER = re.compile(r"[-+−]?[1-9]\d{0,2},\d{3}")


def read_number(text: str) -> float:
    """``33.6``, ``33,6``, ``.5`` or ``1e3``.

    Raises UsageError for anything else, for ``nan`` and ``inf``, and for a comma that may part
    thousands as well as decimals.
    """
    plain = text.strip()
    if _EITHER.fullmatch(plain):
        raise UsageError(
            f"{plain!r} can mean {plain.replace(',', '')} or {plain.replace(',', '.')}",
            "write it with a point, or without the comma",
        )
    if not re.fullmatch(NUMBER, plain, re.ASCII):
        raise UsageError(f"{text!r} is no number", "write it as 33.6 or 33,6")
    return float(plain.replace(",", ".").replace("−", "-"))


def is_number(value: object) -> TypeGuard[int | float]:
    """Whether a value of a file is a number; true, false and nan are not."""
    return isinstance(value, int | float) and not isinstance(value, bool) and value == value


def number_in(
    value: object,
    noun: str,
    *,
    least: float = -math.inf,
    most: float = math.inf,
    remedy: str = "make it a number",
) -> float:
    """The number that a file holds. Raises UsageError where it is none or outside its bounds."""
    if not is_number(value) or not least <= value <= most:
        said = "missing" if value is None else f"{value!r:.60}"
        raise UsageError(f"{noun} is {said}", remedy)
    return float(value)
