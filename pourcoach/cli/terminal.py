"""What the terminal at hand can do."""

import os
import sys


def has_screen() -> bool:
    """Whether standard input and output are a terminal that can be drawn on."""
    return sys.stdout.isatty() and sys.stdin.isatty() and os.environ.get("TERM") != "dumb"


def takes_blocks() -> bool:
    """Whether block and box-drawing characters come through; else plain ASCII is drawn."""
    return (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
