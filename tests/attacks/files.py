"""Damaged files of every kind that is read, through the commands that read them."""

import gzip
import json
import random
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

from pourcoach.brewing.plan.plan_file import plan_to_toml
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.brewing.water.water import Water
from pourcoach.brewing.water.water_file import waters_to_toml
from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC
from pourcoach.domain.inputs import Reading
from pourcoach.recordings.tape import read_tape
from pourcoach.scales.known.descriptions import descriptions_folder
from pourcoach.weighing.check.check_record import CheckRecord
from pourcoach.weighing.figures.eccentricity import PLACES
from pourcoach.weighing.loads.known_load import KnownLoad
from tests.attacks.command import home_at, run_here
from tests.attacks.mutate import mutated
from tests.attacks.tally import Tally

RECORDINGS = Path(__file__).parents[2] / "recordings"
SMALL = 6
"""Of each kind, for CI."""
CUTS = 40
SLOW_EVERY = 50

BLOOM_S, POUR_S = 14.0, 60.0
"""The shorter tape holds the bloom, the longer one a pour too."""

CONFIG = b"""\
scale = "sim:steady"
by = "Ada"
glyphs = "auto"
theme = "dark"
reaction_s = 0.25
scale_delay_s = 0.1
[plan]
dose_g = 20
ratio = 16.0
pours = 3
brewer = "small-cone"
"""
NAMES = b"""\
["station 3"]
address = "serial:/dev/ttyUSB0"
["by the window"]
address = "sim:steady?seed=4"
"""
CALIBRATIONS = b"""\
[["serial:/dev/ttyUSB0"]]
counts_per_g = 421.5
empty_counts = -8123.0
made_at = "2026-01-15T09:30:00+00:00"
"""
LOADS = b"""[{"true_g": 0, "shown": -8123}, {"true_g": 100, "shown": 34012},
{"true_g": 500, "shown": 202627.5}]"""


def attack(seed: int, size: int) -> Iterator[Tally]:
    """Damaged files of each kind."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with home_at(folder / "home"):
            yield from _damaged(folder, seed, SMALL * size)


def cuts(seed: int, size: int) -> Iterator[Tally]:
    """Tapes cut at any byte."""
    with tempfile.TemporaryDirectory() as name:
        yield _cut_tapes(Path(name), seed, CUTS * size)


def _damaged(folder: Path, seed: int, count: int) -> Iterator[Tally]:
    tape, longer = _short_tape(BLOOM_S), _short_tape(POUR_S)
    header = tape.split(b"\n", 1)[0]
    plan = plan_to_toml(work_out(PlanRequest()).plan).encode()
    home = folder / "home"
    (folder / "good.jsonl").write_bytes(tape)
    description = min((RECORDINGS.parent / "pourcoach/scales/shipped").glob("*.toml"))

    def analyse(path: Path, way: int) -> tuple[str, ...]:
        return ("analyse", str(path), *(("--json",) if way else ()))

    def row(
        what: str,
        path: Path,
        good: bytes,
        command: Callable[[Path, int], tuple[str, ...]],
        slow: bytes | None = None,
    ) -> Tally:
        """``slow``: another good file, damaged now and then, since its command takes long."""
        tally = Tally(f"damaged {what}")
        path.parent.mkdir(parents=True, exist_ok=True)
        chance = random.Random(f"{seed} {what}")
        for number in range(count):
            whole = slow is not None and number % SLOW_EVERY == 0
            path.write_bytes(mutated(slow if whole and slow is not None else good, chance))
            argv = command(path, number % 2)
            ran = run_here(*argv)
            said = f"seed {seed} number {number}"
            verdict = argv[0] == "check"
            tally.tried(ran.failure(said, as_json="--json" in argv, verdict=verdict))
        path.unlink()
        return tally

    yield row("tapes", folder / "a.jsonl", tape, analyse, slow=longer)
    yield row("tape headers", folder / "b.jsonl", header + b"\n[0.1, 0.0]\n[0.2, 0.1]\n", analyse)
    yield row("packed tapes", folder / "c.jsonl.gz", gzip.compress(tape[:6000], mtime=0), analyse)
    yield row(
        "plans", folder / "p.toml", plan, lambda p, way: ("plan", "--plan", str(p), *_json(way))
    )
    yield row(
        "rubrics",
        folder / "r.toml",
        DEFAULT_RUBRIC.encode(),
        lambda p, way: ("analyse", str(folder / "good.jsonl"), "--rubric", str(p), *_json(way)),
    )
    yield row("settings", home / "config.toml", CONFIG, lambda _, way: ("plan", *_json(way)))
    yield row(
        "waters", home / "waters.toml", _waters(), lambda _, way: ("water", "list", *_json(way))
    )
    yield row(
        "names of scales",
        home / "scale-names.toml",
        NAMES,
        lambda _, way: ("scales", "--no-bluetooth", *_json(way)),
    )
    yield row(
        "calibrations",
        home / "calibrations.toml",
        CALIBRATIONS,
        lambda _, way: ("calibrate", "--scale", "serial:/dev/ttyUSB0", "--show", *_json(way)),
    )
    port = "serial:/dev/ttyUSB0"
    yield row(
        "loads",
        folder / "l.json",
        LOADS,
        lambda p, way: ("calibrate", "--from", str(p), "--scale", port, "--dry-run", *_json(way)),
    )
    yield row(
        "checks",
        folder / "k.json",
        _check_record(rests=False),
        lambda p, way: ("check", "--from", str(p), *_json(way)),
        slow=_check_record(rests=True),
    )
    out = str(folder / "o.toml")
    describe = ("scales", "describe", port, "--name", "x", "--out", out, "--force", "--from")
    yield row("captures", folder / "h.json", _capture(), lambda p, _: (*describe, str(p)))
    yield row(
        "scale descriptions",
        descriptions_folder() / "mine.toml",
        description.read_bytes(),
        lambda _, __: ("scales", "--live", "serial:/dev/none?as=mine", "--for", "0.1"),
    )


def _json(way: int) -> tuple[str, ...]:
    return ("--json",) if way else ()


def _short_tape(until_s: float) -> bytes:
    """A shipped brew up to a time, with keys in it: quick to judge."""
    lines = (RECORDINGS / "uneven.jsonl").read_bytes().splitlines()
    at = b'{"t": %.1f, ' % until_s
    keys = [
        at + b'"input": "mark"}',
        at + b'"note": "kettle swapped"}',
        at + b'"input": "link", "up": false, "why": "gone"}',
        at + b'"input": "link", "up": true}',
    ]
    before = [line for line in lines[1:] if _time_of(line) <= until_s]
    return b"\n".join([lines[0], *before, *keys, b'{"end": %.1f}' % (until_s + 1.5), b""])


def _time_of(line: bytes) -> float:
    data = json.loads(line)
    return float(data[0] if isinstance(data, list) else data.get("t", data.get("end", 0.0)))


def _check_record(*, rests: bool) -> bytes:
    """One with every part in it; without its rest no pours are simulated with the scale's noise."""
    noise = random.Random(1)
    still = tuple(Reading(i / 10, round(noise.gauss(0, 0.05), 1)) for i in range(120))
    loaded = tuple(Reading(i / 10, 500.0) for i in range(60))
    lifted = tuple(Reading(i / 10, 200.0 if i < 15 else 0.0) for i in range(40))
    record = CheckRecord(
        "serial:/dev/ttyUSB0",
        still=still if rests else (),
        loads=tuple(KnownLoad(g, g + 0.1) for g in (0.0, 100.0, 200.0, 500.0, 1000.0)),
        repeats=tuple(KnownLoad(200.0, 200.0 + noise.choice((0, 0.1))) for _ in range(6)),
        places={place: KnownLoad(200.0, 200.1) for place in PLACES},
        small=(KnownLoad(200.0, 200.0), KnownLoad(200.14, 200.1)),
        held=loaded,
        zero_before=KnownLoad(0.0, 0.0),
        zero_after=KnownLoad(0.0, 0.1),
        lifted=(lifted, lifted),
        pressed=still,
        presses_s=(1.0, 5.0),
    )
    return json.dumps(record.as_dict()).encode()


def _waters() -> bytes:
    mains = Water(
        ph=7.4, hardness_mgl=210.0, calcium_hardness_mgl=150.0, alkalinity_mgl=160.0, tested=True
    )
    return waters_to_toml({"mains": mains, "mixed": Water(tds_mgl=80.0, chlorine_mgl=0.1)}).encode()


def _capture() -> bytes:
    source = {
        "known_g": 200.0,
        "transport": "serial",
        "gatt": None,
        **{
            name: [
                [i / 10, f"{grams + i % 2 * 0.1:+09.1f} g\r\n".encode().hex()] for i in range(30)
            ]
            for name, grams in (("off", 0), ("on", 200), ("off_again", 0), ("below", 20))
        },
    }
    return json.dumps({"pourcoach_capture": 1, "sources": [source]}).encode()


def _cut_tapes(folder: Path, seed: int, count: int) -> Tally:
    """However short the tape: what is whole of it is read, and what is read was in it."""
    tally = Tally("tapes cut at any byte")
    chance = random.Random(f"{seed} cuts")
    whole = (RECORDINGS / "steady.jsonl").read_bytes()
    (folder / "whole.jsonl").write_bytes(whole)
    inputs = read_tape(folder / "whole.jsonl").inputs
    header = whole.index(b"\n") + 1
    path = folder / "cut.jsonl"
    for _ in range(count):
        length = chance.randrange(header, len(whole))
        path.write_bytes(whole[:length])
        tape = read_tape(path)
        lines = whole[header:length].count(b"\n")
        good = tape.inputs == inputs[: len(tape.inputs)] and len(tape.inputs) >= min(
            lines, len(inputs)
        )
        tally.tried(None if good else f"cut to {length} bytes: {len(tape.inputs)} of {lines} lines")
    return tally
