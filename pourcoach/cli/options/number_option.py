"""Numbers on the command line, as argparse types."""

import argparse
import math
from collections.abc import Callable

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number


def number(text: str) -> float:
    """``33.6`` or ``33,6``; see ``read_number``."""
    try:
        return read_number(text)
    except UsageError as error:
        # argparse puts the option's name before it.
        raise argparse.ArgumentTypeError(str(error)) from None


def number_within(least: float, most: float, unit: str) -> Callable[[str], float]:
    """An argparse type: a number from ``least`` to ``most`` of a unit, named in its error."""

    def read(text: str) -> float:
        try:
            value = read_number(text)
        except UsageError:
            value = math.nan
        if not least <= value <= most:
            raise argparse.ArgumentTypeError(f"{text!r} is not {least:g} to {most:g} {unit}")
        return value

    return read
