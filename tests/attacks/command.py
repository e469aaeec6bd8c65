"""Runs a command of the program in this process, as the shell would, or in one of its own."""

import io
import json
import os
import subprocess
import sys
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from pourcoach.cli.console.terminal import PrintableStream
from pourcoach.cli.main import main

REPOSITORY = Path(__file__).parents[2]


MEASURED = """
import resource, sys
from pathlib import Path
from pourcoach.cli.main import main
status = main(sys.argv[1:])
try:
    # What rusage reports begins with what the parent had when it forked; this does not.
    lines = Path("/proc/self/status").read_text().splitlines()
    used = next(line.split()[1] for line in lines if line.startswith("VmHWM"))
except OSError:
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(f"\\n{status} {used}", file=sys.stderr)
"""


def run_measured(home: Path, *argv: str) -> tuple[int, float]:
    """In a process of its own: the exit status, -1 where it raised, and the most MB it ever had."""
    done = subprocess.run(
        [sys.executable, "-c", MEASURED, *argv],
        capture_output=True,
        text=True,
        check=False,
        env=environment(home),
    )
    try:
        status, used = done.stderr.splitlines()[-1].split()
        return int(status), int(used) / 1024
    except (IndexError, ValueError):
        return -1, 0.0


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command left."""

    status: int | None
    """None where it raised."""
    out: str
    err: str
    raised: str = ""

    def failure(self, what: str, *, as_json: bool = False, verdict: bool = False) -> str | None:
        """Why this is no decent end; None where it is one. With ``verdict`` exit status 1 may be
        the answer, as that a scale is not good enough, and then stands on standard output.
        """
        if self.status is None:
            return f"{what}: traceback: {self.raised.splitlines()[-1]} {_place(self.raised)}"
        if self.status not in (0, 1, 2):
            return f"{what}: exit {self.status}"
        if not (self.out + self.err).replace("\n", "").isprintable():
            letters = {letter for letter in self.out + self.err if not letter.isprintable()}
            return f"{what}: prints {sorted(letters - {chr(10)})}"
        answered = verdict and self.status == 1 and self.out
        if self.status and not self.err.startswith("pourcoach: ") and not answered:
            return f"{what}: exit {self.status} and says {self.err!r:.80}"
        if as_json:
            try:
                for line in self.out.splitlines():
                    json.loads(line, parse_constant=_no_constant)
            except ValueError as error:
                return f"{what}: no JSON: {error}"
        return None


def run_here(*argv: str, typed: str = "") -> Ran:
    """In this process: a thousand times as fast."""
    out, err = io.StringIO(), io.StringIO()
    before = sys.stdin, sys.stdout, sys.stderr
    sys.stdin = io.StringIO(typed)
    sys.stdout, sys.stderr = PrintableStream.around(out), PrintableStream.around(err)
    try:
        return Ran(main(argv), out.getvalue(), err.getvalue())
    except SystemExit as leaving:
        # --help and the like.
        return Ran(int(leaving.code or 0), out.getvalue(), err.getvalue())
    except BaseException:
        return Ran(None, out.getvalue(), err.getvalue(), traceback.format_exc())
    finally:
        sys.stdin, sys.stdout, sys.stderr = before


def started(
    place: Path, *argv: str, home: Path | None = None, **more: object
) -> "subprocess.Popen[bytes]":
    """In a process of its own, with all the program's folders in ``place``, and the user's own
    folder there too unless it is ``home``.
    """
    return subprocess.Popen(  # type: ignore[call-overload, no-any-return]
        [sys.executable, "-m", "pourcoach", *argv],
        **{"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "stdin": subprocess.DEVNULL}
        | more,
        env=environment(place) | ({} if home is None else {"HOME": str(home)}),
    )


def environment(home: Path) -> dict[str, str]:
    """With nothing of the user's own."""
    return {
        **os.environ,
        "POURCOACH_HOME": str(home),
        "HOME": str(home),
        "PYTHONPATH": str(REPOSITORY),
        "PYTHONUNBUFFERED": "1",
    }


@contextmanager
def home_at(folder: Path) -> Iterator[Path]:
    """The user's folders there, for commands that run in this process."""
    before = os.environ.get("POURCOACH_HOME")
    os.environ["POURCOACH_HOME"] = str(folder)
    try:
        yield folder
    finally:
        if before is None:
            del os.environ["POURCOACH_HOME"]
        else:
            os.environ["POURCOACH_HOME"] = before


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number in JSON")


def _place(raised: str) -> str:
    """The last line of the program's own in a traceback."""
    places = [line.strip() for line in raised.splitlines() if "/pourcoach/" in line]
    return places[-1] if places else ""
