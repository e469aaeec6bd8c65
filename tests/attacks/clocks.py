"""Times that lie: clocks that jump, counts that wrap, readings late, doubled, out of order."""

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from pourcoach.domain.documents import from_json
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input, Link, Mark, Note, Reading, Silence, Tare, Undo
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.lines import decode, encode
from pourcoach.recordings.tape import read_tape
from tests.attacks.tally import Tally

SMALL = 1
RECORDINGS = Path(__file__).parents[2] / "recordings"


def attack(seed: int, size: int) -> Iterator[Tally]:
    """The fold raises nothing, and the same inputs from the tape give the same Frames."""
    tape = read_tape(RECORDINGS / "steady.jsonl")
    for kind in ("device clock", "count", "arrivals", "values", "keys"):
        tally = Tally(f"times that lie: {kind}")
        for number in range(SMALL * size):
            chance = random.Random(f"{seed} {kind} {number}")
            inputs = list(_lying(kind, tape.inputs[:600], chance))
            try:
                live = _folded(inputs, tape.header.plan)
                again = [decode(from_json(encode(item))) for item in inputs]
                same = live == _folded(
                    [item for item in again if item is not None], tape.header.plan
                )
            except Exception as error:
                tally.tried(f"seed {seed} number {number}: {error!r}")
                continue
            tally.tried(None if same else f"seed {seed} number {number}: live is not replay")
        yield tally


def _folded(inputs: list[Input], plan: object) -> list[Frame]:
    fold = Pipeline(plan)  # type: ignore[arg-type]
    return [*map(fold.feed, inputs), fold.finish(inputs[-1].t_s)]


def _lying(kind: str, inputs: tuple[Input, ...], chance: random.Random) -> Iterator[Input]:
    device_s, count, t_s = chance.uniform(0, 1e6), chance.randrange(1 << 16), 0.0
    for item in inputs:
        if not isinstance(item, Reading):
            continue
        match kind:
            case "device clock":
                device_s += chance.choice((0.1, 0.1, 0.1, 0.1, -50.0, 1e4, 0.0, 1e-9))
                yield replace(item, device_s=device_s)
            case "count":
                count = (count + chance.choice((1, 1, 1, 0, -1, 2, 40_000))) % (1 << 16)
                yield replace(item, sequence=count, device_s=item.t_s)
            case "arrivals":
                t_s = max(t_s, item.t_s + chance.choice((0.0, 0.0, 0.5, 3.0, 600.0, 1e-6)))
                yield replace(item, t_s=round(t_s, 4))
            case "values":
                grams = chance.choice((item.grams, item.grams, 0.0, -1e5, 1e5, 1e-9, 1e13, -1e13))
                yield replace(item, grams=grams)
            case _:
                yield item
                if chance.random() < 0.05:
                    yield _key(item.t_s, chance)


def _key(t_s: float, chance: random.Random) -> Input:
    return chance.choice(
        (
            Tare(t_s),
            Tare(t_s, by_scale=True),
            Undo(t_s),
            Mark(t_s),
            Note(t_s, "x"),
            Link(t_s, up=chance.random() < 0.5, why="x"),
            Silence(t_s),
        )
    )
