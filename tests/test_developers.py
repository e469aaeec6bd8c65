"""What DEVELOPERS.md says of files is true: they are there, and a reading passes through them."""

import re
import sys
from itertools import takewhile
from pathlib import Path
from types import FrameType

from pourcoach.domain.pour import Phase
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.tape import read_tape

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "pourcoach"
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
LATER_S = 47.0
"""In the middle of a pour of the recording."""


def test_every_file_that_it_names_is_there() -> None:
    named = set(re.findall(r"`([\w/]+\.(?:py|md|toml|json))`", TEXT))
    folders = [one for one in ROOT.iterdir() if one.is_dir() and not one.name.startswith(".")]
    paths = [path.relative_to(ROOT).parts for one in folders for path in one.rglob("*.*")]
    # A path may be written from any folder on: from the package, from its part.
    there = {"/".join(parts[at:]) for parts in paths for at in range(len(parts))}
    there |= {path.name for path in ROOT.glob("*.*")}
    assert sorted(named - there) == []


def test_a_reading_in_mid_pour_passes_through_the_files_drawn() -> None:
    block = TEXT.split("## The way of one reading")[1].split("```")[1]
    drawn = {
        name for name in re.findall(r"[\w/]+\.py", block) if name.startswith(("esti", "coach"))
    }
    tape = read_tape(ROOT / "recordings" / "steady.jsonl")
    pipeline = Pipeline(tape.header.plan, Setup())
    readings = iter(tape.inputs)
    for reading in takewhile(lambda one: one.t_s < LATER_S, readings):
        pipeline.feed(reading)
    passed: set[str] = set()

    def note(frame: FrameType, event: str, _: object) -> None:
        path = Path(frame.f_code.co_filename)
        if event == "call" and path.is_relative_to(PACKAGE):
            passed.add(path.relative_to(PACKAGE).as_posix())

    reading = next(readings)
    before = sys.getprofile()
    sys.setprofile(note)
    try:
        last = pipeline.feed(reading)
    finally:
        sys.setprofile(before)
    assert last.pour.phase is Phase.POURING
    passed.discard(
        "estimation/filter/wobble_model.py"
    )  # where a step is long or short as none before
    assert sorted(drawn) == sorted(name for name in passed if name.startswith(("esti", "coach")))
