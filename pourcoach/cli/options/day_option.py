"""A day on the command line, as an argparse type."""

import argparse
from datetime import datetime


def day(text: str) -> datetime:
    """``2026-01-31``, from its first moment on by this machine's clock."""
    try:
        return datetime.fromisoformat(text).astimezone()
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is no date; write it as 2026-01-31") from None
