"""Text that a terminal would obey, through every command and on every screen."""

import errno
import fcntl
import json
import os
import pty
import select
import struct
import tempfile
import termios
import time
from collections.abc import Iterator
from pathlib import Path

import tomli_w

from pourcoach.cli.main import COMMANDS
from pourcoach.domain.plan import Plan, Stage
from pourcoach.recordings.tape import Tape, TapeHeader, read_tape
from pourcoach.recordings.whole_tape import write_tape
from tests.attacks.command import home_at, run_here, started
from tests.attacks.files import RECORDINGS
from tests.attacks.tally import Tally

HOSTILE = (
    "\x1b]0;OWNED\x07", "\x1b[2J\x1b[H", "\x1b[31mred", "\x1bc", "\x1b[6n",
    "\x1b]52;c;T1dORUQ=\x07", "\x1bP+q544e\x1b\\", "\x1b[?47hx",
    "\x1b]8;;http://a.example\x07x", "\x9b2J", "\x9d0;OWNED\x9c", "\x90q\x9c", "\x07\x07",
    "a\rb", "a\nb", "a\n0:00 0 g  NOTED a lie", "\x0b\x0c", "\x08\x08\x08",
    "\u202egnp.exe", "\u2066a\u2069", "\u200ea\u200f", "\u2028a\u2029b", "\x00", "\x7f",
    "\ufeff", "\udcff\udc80", "a" * 5000, "e\u0301" * 300, "\U000e0041\U000e0042",
    "[bold red]x[/] {0} %s ${HOME}",
)  # fmt: skip
"""Thirty: titles, screens, colours, reports, clipboard, links, C1, bells, ends of lines, turned
text, tags, what is no text, what is long, and markup of other programs.
"""

SEEN_S = 1.5
"""How long a screen is looked at before the next key."""


def attack(seed: int, size: int) -> Iterator[Tally]:
    """All strings through all commands, and on screens; in the small form one there."""
    rows = [Tally(f"hostile text: {name}") for name in COMMANDS]
    screens = Tally("hostile text: on screens")
    for number, text in enumerate(HOSTILE):
        if size == 1 and number != seed % len(HOSTILE):
            continue
        with tempfile.TemporaryDirectory() as name, home_at(Path(name) / "home"):
            for row in rows:
                for argv in _commands(row.name.split()[-1], Path(name), text):
                    ran = run_here(*argv)
                    as_json = "--json" in argv
                    row.tried(ran.failure(f"string {number} in {argv}", as_json=as_json))
            if size > 1 or number == seed % len(HOSTILE):
                screens.tried(_on_screens(Path(name), number, text))
    yield from [*rows, screens]


def _commands(command: str, folder: Path, text: str) -> Iterator[tuple[str, ...]]:
    """Ways for the text into a command: by an option, by a file's name, by what is in the file."""
    tape, plan = hostile_tape(folder, text), hostile_plan(folder, text)
    (folder / "home").mkdir(exist_ok=True)
    waters = folder / "home" / "waters.toml"
    waters.write_text(tomli_w.dumps({_clean(text): {"ph": 7.0}}), encoding="utf-8")
    names = folder / "home" / "scale-names.toml"
    names.write_text(tomli_w.dumps({_clean(text): {"address": "sim:" + _clean(text)}}))
    odd = str(folder / f"{text.replace('/', '_').replace(chr(0), '_')[:60]}.jsonl")
    match command:
        case "plan":
            yield "plan", "--plan", str(plan)
            yield "plan", "--plan", str(plan), "--json"
            yield "plan", "--plan", odd
            yield "plan", "--brewer", text
            yield "plan", "--dose", text
        case "brew":
            scale = "sim:steady?speed=100"
            yield "brew", "--scale", scale, "--plain", "--by", text, "--plan", str(plan)
            yield "brew", "--scale", scale, "--plain", "--brew-water", text
            yield "brew", "--scale", text, "--plain"
            yield "brew", "--scale", scale, "--plain", "--share", text
            yield (
                "brew",
                "--scale",
                "sim:nobody",
                "--plain",
                "--share",
                "mqtt://x/y",
                "--station",
                text,
            )
            yield "brew", "--scale", f"sim:{text}", "--plain"
            yield "brew", "--scale", f"serial:{text}", "--plain"
            yield "brew", "--scale", f"tape:{odd}", "--plain"
        case "replay":
            yield "replay", str(tape), "--plain"
            yield "replay", odd, "--plain"
        case "analyse":
            yield "analyse", str(tape)
            yield "analyse", str(tape), "--json"
            yield "analyse", str(tape.parent)
            yield "analyse", odd
            yield "analyse", str(tape), "--rubric", str(hostile_rubric(folder, text)), "--json"
            yield "analyse", str(tape), "--rubric", str(hostile_rubric(folder, text))
        case "report":
            for suffix in ("html", "csv", "svg"):
                yield "report", str(tape), "--out", str(folder / f"report.{suffix}")
            yield "report", odd, "--out", str(folder / "odd.html")
            yield "report", "--by", text, "--out", str(folder / "who.html")
            yield "report", str(tape), "--class", text, "--out", str(folder / "class.html")
            yield "report", str(tape), "--out", f"{odd}.html"
            yield "report", str(tape), "--out", str(folder / text.replace(chr(0), "")[:60])
        case "simulate":
            yield "simulate", "--out", odd, "--profile", text
            yield "simulate", "--out", str(folder / "new.jsonl"), "--fault", text
        case "demo":
            yield "demo", "--plain", "--plan", odd
        case "scales":
            yield "scales", "--no-bluetooth"
            yield "scales", "--no-bluetooth", "--json"
            yield "scales", "--live", text, "--for", "0.1"
            yield "scales", "name", text, "sim:steady"
            yield "scales", "name", "x", text
            yield "scales", "describe", f"serial:{text}", "--name", text, "--weight", "200"
        case "calibrate":
            yield "calibrate", "--scale", text, "--weights", "100"
            yield "calibrate", "--scale", "serial:x", "--from", odd
            yield "calibrate", "--scale", f"serial:{text}", "--show", "--json"
        case "check":
            yield "check", "--from", odd
            yield "check", "--scale", text
        case "strength":
            yield "strength", "--recording", str(tape), "--tds", "1.3", "--json"
            yield "strength", "--recording", odd, "--tds", "1.3"
            yield "strength", "--tds", text
        case "water":
            yield "water", "list"
            yield "water", "list", "--json"
            yield "water", "check", "--source", text
            yield "water", "delete", text
            yield "water", "use", text, "--recording", str(tape)
        case "temperature":
            yield "temperature", "--aim", text
        case "advise":
            yield "advise", "--recording", str(tape)
            yield "advise", "--recording", str(tape), "--json"
            yield "advise", "--taste", text
            yield "advise", "--recording", odd
        case "class":
            yield "class", "--plain", "--station", text
            yield "class", "--plain", "--station", f"{text}=sim:nobody"
            yield "class", "--plain", "--station", f"{text}=serial:{text}"
            yield "class", "--plain", "--lesson", odd
            yield "class", "--plain", "--lesson", str(_lesson(folder, text))
            yield "class", "--plain", "--listen", text
            yield "class", "--plain", "--page", text, "--station", "1=sim:steady"
        case "taste":
            new = ("taste", "new", "--test", "triangle", "--tasters", "2", "--a", text)
            yield *new, "--b", "other"
            yield *new, "--b", "other", "--json"
            yield "taste", "new", "--test", text, "--tasters", text, "--a", "x", "--b", "y"
            yield "taste", "answers", odd
        case _:
            yield command, text


def _clean(text: str) -> str:
    """What TOML can hold of it."""
    return text.encode("utf-8", "replace").decode().replace("\x00", "") or "x"


def hostile_tape(folder: Path, text: str) -> Path:
    """A short brew with the text in all that a header and a note can hold."""
    path = folder / "tapes" / f"{_clean(text).replace('/', '_')[:60]}.jsonl"
    if not path.exists():
        path.parent.mkdir(exist_ok=True)
        good = read_tape(RECORDINGS / "steady.jsonl")
        plan = Plan(20.0, 16.0, 320.0, 35.0, 190.0, (Stage(text, 0.0, 320.0, 5.0),), brewer=text)
        header = TapeHeader(
            plan=plan, by=text, recorded_at=text, scale={"address": text, text: text}
        )
        write_tape(path, Tape(header, good.inputs[:500], None))
        with path.open("a", encoding="utf-8") as lines:
            lines.write(_line(text))
    return path


def _line(text: str) -> str:
    last = json.dumps({"t": 200.0, "note": text}) + "\n"
    return last + json.dumps({"t": 200.0, "input": "link", "up": False, "why": text}) + "\n"


def hostile_plan(folder: Path, text: str) -> Path:
    path = folder / "plan.toml"
    plan = Plan(20.0, 16.0, 320.0, 35.0, 190.0, (Stage(_clean(text), 0.0, 320.0, 5.0),))
    path.write_text(tomli_w.dumps(plan.as_dict()), encoding="utf-8")
    return path


def hostile_rubric(folder: Path, text: str) -> Path:
    path = folder / "rubric.toml"
    criterion = {"title": _clean(text), "measure": "stalls", "most": 0}
    path.write_text(tomli_w.dumps({"name": _clean(text), "criterion": [criterion]}))
    return path


def _lesson(folder: Path, text: str) -> Path:
    path = folder / "lesson.toml"
    station = {"name": _clean(text), "scale": "sim:" + _clean(text), "person": _clean(text)}
    lesson = {"title": _clean(text), "station": [station], "lists": {"opening": [_clean(text)]}}
    path.write_text(tomli_w.dumps(lesson), encoding="utf-8")
    return path


def _on_screens(folder: Path, number: int, text: str) -> str | None:
    """The start screen with such tapes and plans on it, a replay, its review and its help."""
    home = folder / "home"
    tape, plan = hostile_tape(folder, text), hostile_plan(folder, text)
    for place, file in (("tapes", tape), ("plans", plan)):
        (home / place).mkdir(exist_ok=True)
        target = home / place / file.name
        if not target.exists():
            target.write_bytes(file.read_bytes())
    seen = _drawn(home, (), b"\t\t\t?q")
    seen += _drawn(home, ("replay", str(tape), "--speed", "200", "--no-config"), b"?? d1q")
    raw = text.encode("utf-8", "surrogateescape")
    if not text.isprintable() and not text.isspace() and len(raw) > 2 and raw in seen:
        return f"string {number} reaches the screen: {raw!r}"
    if b"Traceback" in seen:
        return f"string {number}: traceback on the screen"
    return None


def _drawn(home: Path, argv: tuple[str, ...], keys: bytes) -> bytes:
    """All that a terminal of 100 by 30 was sent while the keys were pressed."""
    main, port = pty.openpty()
    fcntl.ioctl(port, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    program = started(home, *argv, stdin=port, stdout=port, stderr=port, start_new_session=True)
    os.close(port)
    seen = b""
    try:
        for key in (b"", *(bytes([key]) for key in keys)):
            if key:
                os.write(main, key)
            seen += _read(main, SEEN_S if not key else SEEN_S / 5)
    except OSError as error:
        if error.errno != errno.EIO:
            raise
    finally:
        program.kill()
        program.wait()
        os.close(main)
    return seen


def _read(main: int, for_s: float) -> bytes:
    data = b""
    end_s = time.monotonic() + for_s
    while (left_s := end_s - time.monotonic()) > 0:
        if select.select([main], [], [], left_s)[0]:
            data += os.read(main, 65536)
    return data
