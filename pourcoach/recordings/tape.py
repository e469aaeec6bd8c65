"""The tape: the inputs of one brew in order, with the plan and settings to judge them by."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Self

from pourcoach.domain.checked_table import CheckedTable
from pourcoach.domain.documents import from_json
from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.inputs import Input, Reading, Silence
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.printable import printable
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds
from pourcoach.recordings.afterword_lines import is_afterword
from pourcoach.recordings.bounded_lines import BrokenLineError, bounded_lines
from pourcoach.recordings.lines import decode, decode_end

VERSION = 1
SUFFIXES = (".jsonl", ".jsonl.gz")
# A replay holds a Frame of about a kilobyte for each: 5 hours at 10 readings a second, 40 minutes
# at 80, in some 250 MB.
MOST_HELD = 200_000
# Streamed, they are held by nobody: a day at 100 readings a second.
MOST_STREAMED = 8_640_000
# Keys, notes and link changes are remembered by what judges them; nobody presses so many.
MOST_KEYS = 10_000
# The fastest converters for weighing give a thousand or two; common practice.
MOST_IN_A_SECOND = 5_000


@dataclass(frozen=True, slots=True)
class TapeHeader:
    """A tape's first line."""

    plan: Plan | None = None
    setup: Setup = field(default_factory=Setup)
    recorded_at: str = ""
    """ISO 8601 with its offset; empty where it is not known."""
    scale: Mapping[str, Any] = field(default_factory=dict)
    """What is known of the scale: address, rate_hz, resolution_g."""
    by: str | None = None
    """Who brewed; None where not given."""
    practice: Mapping[str, Any] | None = None
    """Mode, drill and place in a schedule; None where it was no practice."""

    def as_dict(self) -> dict[str, Any]:
        """The line's JSON object."""
        data: dict[str, Any] = {"pourcoach": VERSION}
        if self.recorded_at:
            data["recorded_at"] = self.recorded_at
        if self.by is not None:
            data["by"] = self.by
        data["plan"] = None if self.plan is None else self.plan.as_dict()
        data["arrangement"] = self.setup.arrangement.value
        data["settings"] = self.setup.as_dict()
        data["scale"] = dict(self.scale)
        if self.practice is not None:
            data["practice"] = dict(self.practice)
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Raises ValueError or UsageError where it is no header that this version can read."""
        table = CheckedTable("its first line", data)
        version = table.raw("pourcoach")
        if not isinstance(version, int):
            raise ValueError("its first line is no header of a recording")
        if version > VERSION:
            raise ValueError(
                f"it is of version {version}, and this program reads up to {VERSION}; update it"
            )
        arrangement = table.member("arrangement", Arrangement, Arrangement.BREWER_ON_SCALE)
        return cls(
            plan=table.maybe("plan", Plan.from_table),
            setup=Setup.from_table(table.table("settings", optional=True), arrangement),
            recorded_at=printable(table.text("recorded_at", "")),
            scale=table.table("scale", optional=True).as_dict(),
            by=printable(table.text("by")) if "by" in table else None,
            practice=table.maybe("practice", CheckedTable.as_dict),
        )


@dataclass(frozen=True, slots=True)
class Tape:
    """A tape read whole."""

    header: TapeHeader
    inputs: tuple[Input, ...]
    end_s: Seconds | None
    """From a clean finish; None where the recording was cut off."""
    problem: str | None = None
    """Where the tape breaks and why; what stands before it is kept. None on a good tape."""
    passed_over: int = 0
    """Lines of a kind that this version does not know."""

    @property
    def last_s(self) -> Seconds:
        """When the recording ends, cleanly or not."""
        if self.end_s is not None:
            return self.end_s
        return self.inputs[-1].t_s if self.inputs else 0.0


class TapeStream:
    """A tape read once from beginning to end, holding one line of it. Iterate over its inputs.

    What is only known at the end is right once the iteration has ended.
    """

    def __init__(self, path: Path, lines: Iterator[bytes], most: int) -> None:
        """Raises WorkError where it does not begin as a tape does."""
        self._lines = enumerate(lines, 1)
        self._most = most
        self.header = self._read_header(path)
        self.end_s: Seconds | None = None
        self.last_s: Seconds = 0.0
        """When the recording ends, cleanly or not."""
        self.problem: str | None = None
        self.passed_over = 0
        self._count = 0
        self._keys = 0
        self._second_s = float("-inf")
        self._in_second = 0

    def _read_header(self, path: Path) -> TapeHeader:
        try:
            for _, line in self._lines:
                if not line.strip():
                    continue
                data = from_json(line.decode("utf-8", "replace"))
                if not isinstance(data, dict):
                    raise ValueError("its first line is no header of a recording")
                return TapeHeader.from_dict(data)
        except (ValueError, TypeError, UsageError) as error:
            raise WorkError(f"{path} is no recording: {error}") from None
        raise WorkError(f"{path} is empty", "name a .jsonl file that pourcoach wrote")

    def __iter__(self) -> Iterator[Input]:
        number = 1
        last_s = float("-inf")
        try:
            for number, line in self._lines:  # noqa: B007 - reported where it breaks
                if not line.strip():
                    continue
                data = from_json(line.decode("utf-8", "replace"))
                if isinstance(data, dict) and "end" in data:
                    self.end_s = self.last_s = decode_end(data["end"], self.last_s)
                    return
                item = decode(data)
                if item is None:
                    # What was added after the brew is known, and none of the fold's.
                    self.passed_over += not is_afterword(data)
                    continue
                if item.t_s < last_s:
                    raise ValueError("its time lies before the line above")
                self._keep_bounds(item)
                last_s = self.last_s = item.t_s
                self._count += 1
                yield item
            return
        except BrokenLineError as error:
            number, why = number + 1, str(error)
        except (ValueError, TypeError, UsageError) as error:
            why = str(error)
        self.problem = f"line {number} is broken ({why}); {self._count} inputs before it are kept"

    def _keep_bounds(self, item: Input) -> None:
        if self._count >= self._most:
            raise ValueError(
                f"more than {self._most} inputs are too many here;"
                f" 'pourcoach analyse' takes up to {MOST_STREAMED}"
            )
        if not isinstance(item, Reading | Silence):
            self._keys += 1
            if self._keys > MOST_KEYS:
                raise ValueError(f"more than {MOST_KEYS} keys are too many")
        if item.t_s - self._second_s >= 1.0:
            self._second_s, self._in_second = item.t_s, 0
        self._in_second += 1
        if self._in_second > MOST_IN_A_SECOND:
            raise ValueError(f"no scale gives more than {MOST_IN_A_SECOND} readings in a second")


@contextmanager
def open_tape(path: Path, most: int = MOST_STREAMED) -> Iterator[TapeStream]:
    """Read a ``.jsonl`` or ``.jsonl.gz`` tape input by input, while the context lasts.

    Raises WorkError where there is no such file or it is no tape. A tape that breaks later on,
    or holds more than ``most`` inputs, is given up to there, with ``problem`` saying where.
    """
    with bounded_lines(path) as lines:
        yield TapeStream(path, lines, most)


def read_tape(path: Path) -> Tape:
    """The same read whole, up to MOST_HELD inputs."""
    with open_tape(path, MOST_HELD) as stream:
        inputs = tuple(stream)
        return Tape(stream.header, inputs, stream.end_s, stream.problem, stream.passed_over)


def header_of(path: Path) -> TapeHeader:
    """Only its first line. Raises WorkError as ``open_tape``."""
    with open_tape(path) as stream:
        return stream.header
