"""Text that a terminal would obey, through every option that any command's help names.

Nothing here knows the commands: a new one is walked as soon as its help is there.
"""

import argparse
import os
import shlex
import signal
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pourcoach.cli.commands import COMMANDS, whole_parser
from pourcoach.recordings.tape import Tape, read_tape
from pourcoach.recordings.whole_tape import write_tape
from tests.attacks.command import home_at, run_here
from tests.attacks.files import RECORDINGS
from tests.attacks.hostile_text import HOSTILE, hostile_plan, hostile_rubric, hostile_tape
from tests.attacks.tally import Tally

PATIENCE_S = 30
"""For a command, on a busy machine; those here end in less than one."""
FILES = ("FILE", "RECORDING", "PATH", "FOLDER")
"""What help calls the values that are names of files."""
EXAMPLE_SCALE = "serial:/dev/ttyUSB0"
SHORT_S = 0.3
_FEW = 7
"""In the small form a row is one option in so many; each string is at another one."""


def attack(seed: int, size: int) -> Iterator[Tally]:
    """All strings at every option; in the small form one string at some options."""
    parsers = dict(_parsers())
    missing = set(COMMANDS) - {prog.split()[1] for prog in parsers}
    for command in COMMANDS:
        tally = Tally(f"every option: {command}")
        if command in missing:
            tally.tried("no parser: it cannot be walked")
        for prog, parser in parsers.items():
            if prog.split()[1] == command:
                _walk(tally, prog, parser, seed, small=size == 1)
        yield tally


def _parsers() -> Iterator[tuple[str, argparse.ArgumentParser]]:
    """Those of commands and actions that are given values, by what is typed."""
    waiting = [whole_parser()]
    while waiting:
        parser = waiting.pop()
        below = [
            one
            for action in parser._actions
            if isinstance(action, argparse._SubParsersAction)
            for one in action.choices.values()
        ]
        waiting += below
        if " " in parser.prog:
            yield parser.prog, parser


def _walk(
    tally: Tally, prog: str, parser: argparse.ArgumentParser, seed: int, *, small: bool
) -> None:
    if not parser.epilog:
        tally.tried(f"{prog} has no example in its help: nothing to begin with")
        return
    taking = [
        action
        for action in parser._actions
        if action.nargs != 0 and not isinstance(action, argparse._SubParsersAction)
    ]
    for place, action in enumerate(taking):
        if small and (place - seed) % min(_FEW, len(taking)):
            continue
        numbers = [(place + seed) % len(HOSTILE)] if small else range(len(HOSTILE))
        for number in numbers:
            with tempfile.TemporaryDirectory() as name, _in_folder(Path(name)):
                for argv in _ways(prog, parser, action, HOSTILE[number], Path(name)):
                    with _bounded():
                        ran = run_here(*argv)
                    tally.tried(ran.failure(f"string {number} in {argv}", as_json=False))


def _ways(
    prog: str,
    parser: argparse.ArgumentParser,
    action: argparse.Action,
    text: str,
    folder: Path,
) -> Iterator[tuple[str, ...]]:
    """The example of its help with the text, or a file that holds it, at the option's place."""
    assert parser.epilog is not None
    short = folder / "short.jsonl"
    good = read_tape(RECORDINGS / "steady.jsonl")
    begin = tuple(item for item in good.inputs if item.t_s <= SHORT_S)
    write_tape(short, Tape(good.header, begin, SHORT_S))
    example = parser.epilog.removeprefix("example: ").partition(" > ")[0]
    typed = shlex.split(example.replace(EXAMPLE_SCALE, f"tape:{short}"))[1:]
    values = [text]
    if action.metavar in FILES or action.dest in ("tape", "recording"):
        odd = folder / f"{text.replace('/', '_').replace(chr(0), '_')[:60]}.jsonl"
        files = hostile_tape(folder, text), hostile_plan(folder, text), hostile_rubric(folder, text)
        values += [str(odd), *(str(file) for file in files)]
    for value in values:
        if not action.option_strings:
            yield (*prog.split()[1:], value)
        elif action.nargs in (None, argparse.OPTIONAL):
            yield (*typed, f"{action.option_strings[-1]}={value}")
        else:
            yield (*typed, action.option_strings[-1], value)


@contextmanager
def _in_folder(folder: Path) -> Iterator[None]:
    """What an example writes is written there."""
    before = Path.cwd()
    with home_at(folder / "home"):
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)


@contextmanager
def _bounded() -> Iterator[None]:
    """A command that waits for ever is ended, and raises."""

    def over(_number: int, _frame: object) -> None:
        raise TimeoutError(f"still running after {PATIENCE_S} s")

    before = signal.signal(signal.SIGALRM, over)
    signal.alarm(PATIENCE_S)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
