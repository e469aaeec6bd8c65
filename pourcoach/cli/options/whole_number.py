"""Whole numbers as options."""

import argparse
from collections.abc import Callable

LONGEST_SHOWN = 40
"""Characters of what was typed that an error repeats."""


def whole_number(least: int, most: int) -> Callable[[str], int]:
    """An argparse type: a whole number within these bounds, in plain digits."""

    def read(text: str) -> int:
        # No more digits than the largest has: thousands of them would take long to read.
        plain = text.isascii() and text.isdecimal() and len(text) <= len(str(most))
        if not plain or not least <= int(text) <= most:
            raise argparse.ArgumentTypeError(
                f"{text!r:.{LONGEST_SHOWN}} is no whole number from {least} to {most}"
            )
        return int(text)

    return read
