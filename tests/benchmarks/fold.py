"""What one input costs in the fold, in processor time, beside another checkout's or JSON's cost.

Run: ``python -m tests.benchmarks.fold [--against CHECKOUT] [--frames] [--rounds N]``

Each tape is folded by a process of its own, turn and turn about with the other checkout's, and the
least of all rounds counts: the one least disturbed by the rest of the machine. ``--frames`` prints
a digest of every Frame too, so that a change that is for speed alone can be seen to change none.
"""

import argparse
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from hashlib import sha256
from itertools import chain
from pathlib import Path
from typing import Any
from unittest.mock import patch

ROOT = Path(__file__).parents[2]
RECORDINGS = ROOT / "recordings"
REST_S, REST_HZ = 1800.0, 10.0
BREWS = 6


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--against", type=Path, help="another checkout of the project")
    parser.add_argument("--frames", action="store_true", help="compare digests of all Frames")
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--child", type=Path, nargs="+", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.child:
        _folded(asked.child[0], frames=False)  # what is worked out once is no cost of an input
        print(json.dumps([_folded(path, frames=asked.frames) for path in asked.child]))
        return
    with tempfile.TemporaryDirectory() as folder:
        tapes = _tapes(Path(folder), brews=asked.frames)
        ours = theirs = None
        for _ in range(asked.rounds):
            ours = _less(ours, _run(ROOT, tapes, frames=asked.frames))
            if asked.against is not None:
                theirs = _less(theirs, _run(asked.against, tapes, frames=asked.frames))
        _print(tapes, ours or [], theirs)


def _tapes(folder: Path, *, brews: bool) -> list[Path]:
    """The shipped fast tape, an empty scale, a long brew; with ``brews``, all that ship and some
    simulated ones."""
    from pourcoach.domain.inputs import Reading
    from pourcoach.simulation.brew import SimulatedBrew
    from tests.benchmarks.coaching.cases import clean
    from tests.benchmarks.stream.cost import longest_brew

    noise = random.Random(1)
    rest = [
        Reading(round(n / REST_HZ + noise.uniform(0, 0.01), 4), round(noise.gauss(0, 0.05), 1))
        for n in range(int(REST_S * REST_HZ))
    ]
    tapes = [RECORDINGS / "steady-80hz.jsonl.gz", RECORDINGS / "steady.jsonl"]
    tapes.append(_write(folder / "rest-10hz.jsonl", None, rest))
    tapes.append(_write(folder / "long-80hz.jsonl", *longest_brew()))
    if brews:
        tapes += sorted(set(RECORDINGS.glob("*.jsonl*")) - set(tapes))
        for seed in range(BREWS):
            case = clean(seed)
            brew = SimulatedBrew(case.plan, case.hand, case.seed, case.scale)
            tapes.append(_write(folder / f"clean-{seed}.jsonl", case.plan, brew.run()))
    return tapes


def _write(path: Path, plan: Any, inputs: Any) -> Path:
    from pourcoach.recordings.tape import TapeHeader
    from pourcoach.recordings.writer import TapeWriter

    with TapeWriter(path, TapeHeader(plan)) as tape:
        last_s = 0.0
        for item in inputs:
            tape.append(replace(item, t_s=round(item.t_s, 4)))
            last_s = item.t_s
        tape.finish(last_s)
    return path


def _run(checkout: Path, tapes: list[Path], *, frames: bool) -> list[dict[str, Any]]:
    """Fold them in a process of their own, with the package of that checkout."""
    options = ["--child", *map(str, tapes), *(["--frames"] if frames else [])]
    done = subprocess.run(
        [sys.executable, "-P", __file__, *options],
        env=os.environ | {"PYTHONPATH": str(checkout)},
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        sys.exit(done.stderr)
    results: list[dict[str, Any]] = json.loads(done.stdout)
    return results


def _folded(path: Path, *, frames: bool) -> dict[str, Any]:
    """One tape: microseconds an input of the whole fold, of the estimator, of refining in it, and
    of reading the tape; and the longest feed."""
    from pourcoach.estimation.estimator import Estimator
    from pourcoach.estimation.pours.refining import RefiningQueue
    from pourcoach.pipeline import Pipeline, load_hindsight
    from pourcoach.recordings.tape import open_tape, read_tape

    load_hindsight()
    begun_s = time.process_time()
    with open_tape(path) as stream:
        count = sum(1 for _ in stream)
    read_s = time.process_time() - begun_s
    tape = read_tape(path)
    pipeline = Pipeline(tape.header.plan, tape.header.setup)
    begun_s = time.process_time()
    for item in tape.inputs:
        pipeline.feed(item)
    whole_s = time.process_time() - begun_s
    # Apart from the whole: to look at the clock with each input takes a microsecond.
    pipeline, longest_s = Pipeline(tape.header.plan, tape.header.setup), 0.0
    before_s = time.process_time()
    for item in tape.inputs:
        pipeline.feed(item)
        now_s = time.process_time()
        longest_s = max(longest_s, now_s - before_s)
        before_s = now_s
    pipeline.finish(tape.last_s)
    estimator = Estimator(tape.header.setup.scale_delay_s)
    begun_s = time.process_time()
    for item in tape.inputs:
        estimator.feed(item)
    estimator_s = time.process_time() - begun_s
    refining_s, step = 0.0, RefiningQueue.step

    def timed(queue: RefiningQueue) -> Any:
        nonlocal refining_s
        if not queue.busy:
            return step(queue)
        begun_s = time.process_time()
        done = step(queue)
        refining_s += time.process_time() - begun_s
        return done

    with patch.object(RefiningQueue, "step", timed):
        estimator = Estimator(tape.header.setup.scale_delay_s)
        for item in tape.inputs:
            estimator.feed(item)
    figures: dict[str, Any] = {
        "fold": 1e6 * whole_s / count,
        "estimator": 1e6 * estimator_s / count,
        "refining": 1e6 * refining_s / count,
        "reading": 1e6 * read_s / count,
        "longest": 1e3 * longest_s,
    }
    if frames:
        again, digest = Pipeline(tape.header.plan, tape.header.setup), sha256()
        for frame in chain(map(again.feed, tape.inputs), [again.finish(tape.last_s)]):
            digest.update(repr(frame).encode())
        figures["frames"] = digest.hexdigest()[:12]
    return figures


def _less(before: list[dict[str, Any]] | None, new: list[dict[str, Any]]) -> list[dict[str, Any]]:
    if before is None:
        return new
    return [
        {key: min(old[key], one[key]) for key in one} for old, one in zip(before, new, strict=True)
    ]


def _print(
    tapes: list[Path], ours: list[dict[str, Any]], theirs: list[dict[str, Any]] | None
) -> None:
    print(f"{'µs an input, least of all rounds':<34}{'here':>9}{'there':>9}{'ratio':>7}")
    for place, (path, one) in enumerate(zip(tapes, ours, strict=True)):
        for part in ("fold", "estimator", "refining", "reading", "longest"):
            unit = " ms" if part == "longest" else ""
            row = f"{path.name + ' ' + part + unit:<34}{one[part]:>9.2f}"
            if theirs is not None:
                other = theirs[place][part]
                # Rest has nothing to refine.
                row += f"{other:>9.2f}" + (f"{one[part] / other:>7.2f}" if other else "")
            print(row)
        if "frames" in one:
            same = theirs is not None and theirs[place]["frames"] == one["frames"]
            print(f"{path.name + ' frames':<34} {one['frames']} {'the same' if same else ''}")


if __name__ == "__main__":
    main()
