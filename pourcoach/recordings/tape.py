"""The tape: the inputs of one brew in order, with the plan and settings to judge them by."""

import gzip
import io
import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Self

from pourcoach.domain.errors import UsageError, WorkError
from pourcoach.domain.inputs import Input
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds
from pourcoach.recordings.lines import decode

VERSION = 1
SUFFIXES = (".jsonl", ".jsonl.gz")


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
    """Who brewed; None where not told."""

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
        return data

    @classmethod
    def from_dict(cls, data: Mapping[str, Any]) -> Self:
        """Raises ValueError or UsageError where it is no header that this version can read."""
        version = data.get("pourcoach")
        if not isinstance(version, int):
            raise ValueError("its first line is no tape header")
        if version > VERSION:
            raise ValueError(
                f"it is of version {version}, and this program reads up to {VERSION}; update it"
            )
        plan = data.get("plan")
        arrangement = Arrangement(data.get("arrangement", Arrangement.BREWER_ON_SCALE.value))
        scale = data.get("scale")
        by = data.get("by")
        return cls(
            plan=None if plan is None else Plan.from_dict(plan),
            setup=Setup.from_dict(data.get("settings", {}), arrangement),
            recorded_at=str(data.get("recorded_at", "")),
            scale=scale if isinstance(scale, dict) else {},
            by=None if by is None else str(by),
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


def read_tape(path: Path) -> Tape:
    """Read a ``.jsonl`` or ``.jsonl.gz`` tape.

    Raises WorkError where there is no such file or it is no tape. A tape that breaks later on
    is given up to the break, with ``problem`` saying where.
    """
    try:
        with _open_text(path) as lines:
            return _parse(path, _numbered(lines))
    except FileNotFoundError:
        raise WorkError(f"there is no file {path}", "check its name") from None
    except IsADirectoryError:
        raise WorkError(f"{path} is a folder", "name a tape in it") from None
    except (gzip.BadGzipFile, EOFError):
        raise WorkError(f"{path} is no tape", "name a .jsonl file that pourcoach wrote") from None
    except OSError as error:
        raise WorkError(f"{path} cannot be read: {error.strerror or error}") from None


@contextmanager
def _open_text(path: Path) -> Iterator[io.TextIOBase]:
    if path.name.endswith(".gz"):
        with gzip.open(path, "rt", encoding="utf-8", errors="replace") as zipped:
            yield zipped
    else:
        # A damaged byte must cost its own line, not the whole buffer it was read with.
        with path.open(encoding="utf-8", errors="replace") as plain:
            yield plain


def _numbered(lines: io.TextIOBase) -> Iterator[tuple[int, str | Exception]]:
    """Lines with their numbers; a fault of the file itself comes last, in a line's place."""
    number = 0
    try:
        for number, line in enumerate(lines, 1):
            yield number, line
    except (EOFError, OSError) as error:
        if number == 0:
            raise
        yield number + 1, error


def _parse(path: Path, lines: Iterator[tuple[int, str | Exception]]) -> Tape:
    header: TapeHeader | None = None
    inputs: list[Input] = []
    passed_over = 0
    end_s: float | None = None
    problem: str | None = None
    last_s = float("-inf")
    for number, line in lines:
        try:
            if isinstance(line, Exception):
                raise ValueError("the file is cut off or damaged")
            if not line.strip():
                continue
            data = json.loads(line)
            if header is None:
                if not isinstance(data, dict):
                    raise ValueError("its first line is no tape header")
                header = TapeHeader.from_dict(data)
                continue
            if isinstance(data, dict) and "end" in data:
                end_s = float(data["end"])
                break
            item = decode(data)
            if item is None:
                passed_over += 1
                continue
            if item.t_s < last_s:
                raise ValueError("its time lies before the line above")
            last_s = item.t_s
            inputs.append(item)
        except (ValueError, TypeError, UsageError) as error:
            why = "it is no JSON" if isinstance(error, json.JSONDecodeError) else str(error)
            if header is None:
                raise WorkError(f"{path} is no tape: {why}") from None
            problem = f"line {number} is broken ({why}); {len(inputs)} inputs before it are kept"
            break
    if header is None:
        raise WorkError(f"{path} is empty", "name a .jsonl file that pourcoach wrote")
    return Tape(header, tuple(inputs), end_s, problem, passed_over)
