"""How far one reading in mid-pour goes through the fold: files, moves from file to file, calls.

Run: ``python -m tests.benchmarks.moves [--against CHECKOUT]``

Each reading of two seconds in the midst of a pour is followed by a profile function: a call is one
of a function of ours, a move one into another file than its caller's. The most that one reading
takes, their median and their mean are printed, for a slow scale, each of whose readings is looked
at in full, and for a fast one.
"""

import argparse
import json
import os
import subprocess
import sys
from pathlib import Path
from statistics import fmean, median
from types import FrameType

ROOT = Path(__file__).parents[2]
TAPES = {"10 Hz": "steady.jsonl", "80 Hz": "steady-80hz.jsonl.gz"}
FROM_S, TO_S = 47.0, 49.0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--against", type=Path, help="another checkout of the project")
    parser.add_argument("--child", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.child:
        print(
            json.dumps({rate: followed(ROOT / "recordings" / name) for rate, name in TAPES.items()})
        )
        return
    here = _run(ROOT)
    there = None if asked.against is None else _run(asked.against)
    print(f"{'a reading in mid-pour':<24}{'here':>8}{'there':>8}{'ratio':>7}")
    for rate, figures in here.items():
        for what, count in figures.items():
            row = f"{rate + ', ' + what:<24}{count:>8.1f}"
            if there is not None:
                other = there[rate][what]
                row += f"{other:>8.1f}{count / other:>7.2f}"
            print(row)


def followed(path: Path) -> dict[str, float]:
    """Files, moves and calls of the readings of one tape, as the pipeline in use takes them."""
    import pourcoach
    from pourcoach.pipeline import Pipeline, load_hindsight
    from pourcoach.recordings.tape import read_tape

    load_hindsight()
    package = str(Path(pourcoach.__file__).parent)
    tape = read_tape(path)
    pipeline = Pipeline(tape.header.plan)
    counts: list[tuple[int, int, int]] = []
    for item in tape.inputs:
        if item.t_s < FROM_S:
            pipeline.feed(item)
            continue
        if item.t_s >= TO_S:
            break
        files: set[str] = set()
        moves = calls = 0

        def note(frame: FrameType, event: str, _: object) -> None:
            nonlocal moves, calls
            file = frame.f_code.co_filename
            if event != "call" or not file.startswith(package):
                return
            caller = frame.f_back
            files.add(file)  # noqa: B023 - called before the next turn
            calls += 1
            moves += caller is None or caller.f_code.co_filename != file

        sys.setprofile(note)
        try:
            pipeline.feed(item)
        finally:
            sys.setprofile(None)
        counts.append((len(files), moves, calls))
    figures = {}
    for what, column in zip(("files", "moves", "calls"), zip(*counts, strict=True), strict=True):
        figures |= {
            f"{what}, most": max(column),
            f"{what}, median": median(column),
            f"{what}, mean": fmean(column),
        }
    return figures


def _run(checkout: Path) -> dict[str, dict[str, float]]:
    done = subprocess.run(
        [sys.executable, "-P", __file__, "--child"],
        env=os.environ | {"PYTHONPATH": str(checkout)},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        sys.exit(done.stderr)
    figures: dict[str, dict[str, float]] = json.loads(done.stdout)
    return figures


if __name__ == "__main__":
    main()
