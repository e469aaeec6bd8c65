"""A number on the command line, as an argparse type."""

import argparse

from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number


def number(text: str) -> float:
    """``33.6`` or ``33,6``; see ``read_number``."""
    try:
        return read_number(text)
    except UsageError as error:
        # argparse puts the option's name before it.
        raise argparse.ArgumentTypeError(str(error)) from None
