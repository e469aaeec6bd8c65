"""What fits on a screen of which size."""

from enum import Enum

from textual.dom import DOMNode
from textual.geometry import Size


class ScreenSize(Enum):
    """From all to next to nothing."""

    FULL = "full"
    """Room between the parts."""
    COMPACT = "compact"
    """All essentials."""
    NARROW = "narrow"
    """Without the side column; flow and time in text."""
    BARE = "bare"
    """Word, weight and bar."""
    TINY = "tiny"
    """Word and weight in text, and that it is too small."""


LEAST_WIDTH, LEAST_HEIGHT = 40, 10
_LEAST = (
    (ScreenSize.FULL, 100, 30),
    (ScreenSize.COMPACT, 80, 24),
    (ScreenSize.NARROW, 60, 20),
    (ScreenSize.BARE, LEAST_WIDTH, LEAST_HEIGHT),
)


def size_for(width: int, height: int) -> ScreenSize:
    """The richest that fits in ``width`` columns and ``height`` rows."""
    for size, least_width, least_height in _LEAST:
        if width >= least_width and height >= least_height:
            return size
    return ScreenSize.TINY


def use_size(node: DOMNode, room: Size) -> ScreenSize:
    """Give ``node`` the class of the richest that fits into ``room``, for its stylesheet."""
    fits = size_for(room.width, room.height)
    for size in ScreenSize:
        node.set_class(size is fits, f"-{size.value}")
    return fits
