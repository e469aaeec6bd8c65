"""What the terminal at hand can do."""

import os
import sys


def has_screen() -> bool:
    """Whether standard input and output are a terminal that can be drawn on."""
    return sys.stdout.isatty() and sys.stdin.isatty() and os.environ.get("TERM") != "dumb"
