"""What every wire format's decoder is: bytes in, readings out, and a count of what was dropped."""

from collections import Counter
from enum import Enum
from typing import Protocol

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Seconds


class DropReason(Enum):
    """Why bytes gave no reading. The value is the words for it."""

    CUT = "begun or broken in mid-line"
    TOO_LONG = "too long for a weight"
    NOT_TEXT = "not text"
    NO_NUMBER = "no number"
    AMBIGUOUS = "several numbers it could be"
    UNIT = "a unit that is no mass"
    OUT_OF_RANGE = "scale out of its range"
    CHECKSUM = "wrong checksum"
    MALFORMED = "wrong fields"
    UNCHECKED = "no checksum among lines that have one"
    REPEATED = "sent twice"
    COUNTS = "raw counts, not grams"
    GRAMS = "grams, not raw counts"
    RUBBISH = "among what is no text"
    OTHER = "not of the described form"


class Decoder(Protocol):
    """Holds one session's bytes: made anew for each connection."""

    @property
    def dropped(self) -> Counter[DropReason]:
        """Lines or frames that gave no reading, by reason."""
        ...

    def feed(self, data: bytes, t_s: Seconds) -> list[Reading]:
        """Take the next bytes, arrived at ``t_s``; the readings they complete, oldest first."""
        ...


# Heaviest load of a bench scale worth believing; a larger number is rubbish that looks like one.
# Common practice: portable bench scales end at 60 to 100 kg.
MOST_G = 100_000.0
