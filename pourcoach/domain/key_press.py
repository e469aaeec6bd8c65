"""What the brewer did by key, and when: for the screen to confirm and the review to show."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.units import Seconds


class Key(Enum):
    """What a key asks for, in a live brew and on its recording."""

    TARE = "tare"
    BEGIN = "begin"
    MARK = "mark"
    NOTE = "note"
    FINISH = "finish"
    UNDO = "undo"


@dataclass(frozen=True, slots=True)
class KeyPress:
    """One of them, as it was taken."""

    t_s: Seconds
    """On the tape."""
    key: Key
    text: str = ""
    """What a note says; empty for all others."""
    undone: "KeyPress | None" = None
    """What an undo took back; None where there was nothing, and for all others."""
