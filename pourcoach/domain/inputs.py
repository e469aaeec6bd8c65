"""What comes in: the only things the pipeline ever learns. They go on the tape as they are."""

from dataclasses import dataclass
from enum import Enum
from typing import TypeAlias

from pourcoach.domain.units import Grams, Seconds


@dataclass(frozen=True, slots=True)
class Reading:
    """One weight as it came from the scale. Nothing in it is corrected."""

    t_s: Seconds
    """When it arrived, since the tape began."""
    grams: Grams
    """What the scale said, before any tare of ours."""
    device_s: Seconds | None = None
    """The scale's own clock when it weighed, with any origin; None where it gives none."""
    sequence: int | None = None
    """The scale's count of readings, wrapping at 2**16 or later; None where it gives none."""
    corners_g: tuple[Grams, ...] = ()
    """Each cell's share, where the scale has several cells; empty where it gives none."""
    stable: bool | None = None
    """The scale's own stability mark; None where it gives none."""


@dataclass(frozen=True, slots=True)
class Silence:
    """No reading has come up to this moment since the last input. Lets time pass in the fold."""

    t_s: Seconds


@dataclass(frozen=True, slots=True)
class Link:
    """The way to the scale was lost or came back."""

    t_s: Seconds
    up: bool
    why: str = ""
    """A plain sentence for the brewer; empty where there is nothing to say."""


@dataclass(frozen=True, slots=True)
class Tare:
    """The brewer asks that what stands on the scale now count as zero."""

    t_s: Seconds
    by_scale: bool = False
    """True where the scale was commanded to zero itself too, so that its readings will jump to
    zero."""


@dataclass(frozen=True, slots=True)
class Begin:
    """The brewer says that the next rise of weight is the first water (the main key when ready), or
    in mid-brew that what came at once was water (the main key when that is asked)."""

    t_s: Seconds


@dataclass(frozen=True, slots=True)
class Finish:
    """The brewer ends the brew by hand."""

    t_s: Seconds


@dataclass(frozen=True, slots=True)
class Mark:
    """The brewer marks this moment to look at later."""

    t_s: Seconds


@dataclass(frozen=True, slots=True)
class Note:
    """A remark, said at this moment."""

    t_s: Seconds
    text: str


@dataclass(frozen=True, slots=True)
class Undo:
    """The brewer takes back the last tare, mark or finish."""

    t_s: Seconds


@dataclass(frozen=True, slots=True)
class SelfEstimate:
    """What a student says they poured, before they are shown it."""

    t_s: Seconds
    value: float
    """In the unit that the drill asks for: grams, or grams a second."""


class Sight(Enum):
    """What a student may be shown in the course of a pour."""

    HELP = "help"
    """Weight, curve and cues while the water runs."""
    RESULT = "result"
    SERVER_FULL = "server-full"
    """Stop, for the server is nearly full: no help with the task."""


@dataclass(frozen=True, slots=True)
class Shown:
    """From this moment on the student sees it."""

    t_s: Seconds
    what: Sight


Input: TypeAlias = (
    Reading | Silence | Link | Tare | Begin | Finish | Mark | Note | Undo | SelfEstimate | Shown
)
