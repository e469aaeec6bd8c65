"""What a screen may ask of a brew, be it live or replayed."""

from collections.abc import Callable
from enum import Enum
from pathlib import Path
from typing import Protocol, TypeAlias, runtime_checkable

from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.units import Seconds
from pourcoach.simulation.kettle import Kettle

OnFrame: TypeAlias = Callable[[Frame], None]
"""Called with every Frame, in order. After a seek backwards comes the Frame of that moment, and the
next ones follow it: whoever keeps a trace cuts it there."""


class Skip(Enum):
    """Where a replay can be taken at once."""

    BEGINNING = "beginning"
    END = "end"
    STAGE_BEFORE = "stage-before"
    NEXT_STAGE = "next-stage"
    FINDING_BEFORE = "finding-before"
    """What was noted, and what the brewer marked."""
    NEXT_FINDING = "next-finding"


class Session(Protocol):
    """One brew from beginning to end."""

    @property
    def plan(self) -> Plan | None: ...

    @property
    def arrangement(self) -> Arrangement:
        """What stands on the scale."""
        ...

    @property
    def newest(self) -> Frame | None:
        """The last Frame; None before the first input."""
        ...

    @property
    def notice(self) -> str | None:
        """A sentence on the scale or the tape for the brewer to see; None if all is well."""
        ...

    def now(self) -> Seconds:
        """The moment on the tape, running on between inputs."""
        ...

    async def run(self, on_frame: OnFrame) -> Frame | None:
        """Run to the end and give the last Frame, refined; None where nothing ever came.

        Raises WorkError where the scale cannot be used at all. Cancelling it saves the tape.
        """
        ...

    def stop(self) -> None:
        """End now, saving what there is."""
        ...

    def main(self) -> None:
        """The main action (Space, Enter, a click): begin when ready, finish while the bed drains;
        while water runs or is still to come, finish when it is asked for twice within a second, or
        answer the question whether a gain was water; pause or go on in a replay."""
        ...


@runtime_checkable
class BrewControls(Protocol):
    """What the brewer can do in a live brew beside the main action."""

    @property
    def finish_asked(self) -> bool:
        """Whether the main action, asked for once, waits to be asked for again."""
        ...

    @property
    def undo_left_s(self) -> Seconds:
        """How long, on the wall's clock, the end by key can still be taken back; 0 where it
        cannot."""
        ...

    def tare(self) -> None: ...

    def mark(self) -> None: ...

    def note(self, text: str) -> None: ...

    def undo(self) -> None: ...

    def finish(self) -> None: ...


@runtime_checkable
class Recorder(Protocol):
    """A brew that leaves a recording."""

    @property
    def recording(self) -> Path | None:
        """Where it is now; None before the first input, and where nothing is kept."""
        ...


@runtime_checkable
class PlaybackControls(Protocol):
    """What the watcher can do in a replay."""

    @property
    def paused(self) -> bool: ...

    @property
    def speed(self) -> float: ...

    @property
    def position_s(self) -> Seconds: ...

    @property
    def duration_s(self) -> Seconds: ...

    @property
    def brew_start_s(self) -> Seconds | None:
        """First water on the tape, as far as it is known by now."""
        ...

    def pause(self) -> None:
        """Pause, or go on."""
        ...

    def faster(self) -> None: ...

    def slower(self) -> None: ...

    def step(self) -> None:
        """Pause and take the next input."""
        ...

    def seek(self, by_s: Seconds) -> None:
        """Go on or back by ``by_s``. After the end, ``run`` plays on from there once more."""
        ...

    def skip(self, to: Skip) -> None:
        """Go there; as with ``seek``."""
        ...


class SoundControls(Protocol):
    """What can be done with the sound while it lasts."""

    @property
    def muted(self) -> bool: ...

    @property
    def volume(self) -> float:
        """0 to 1."""
        ...

    def mute(self) -> None:
        """Mute it, or let it be heard again."""
        ...

    def louder(self) -> None:
        """A step louder, and from the loudest to the softest."""
        ...


@runtime_checkable
class Tilted(Protocol):
    """A session whose water comes from a simulated kettle that the user tilts."""

    @property
    def kettle(self) -> Kettle | None:
        """None at any other scale."""
        ...
