"""How fast a tape is judged: in times real time, and against only parsing it as JSON.

Run: ``python -m tests.benchmarks.analyse [TAPE …]``; without one, an 80 Hz brew is simulated.
"""

import json
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.recordings.fold import final_frame
from pourcoach.recordings.tape import TapeHeader, read_tape
from pourcoach.recordings.writer import TapeWriter
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale.scale_model import ScaleModel

REPEATS = 5


def best_s(work: Callable[[], object]) -> float:
    """The shortest of a few runs: the least disturbed by the rest of the machine."""
    times = []
    for _ in range(REPEATS):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times)


def simulated_tape(folder: Path) -> Path:
    """A steady brew at 80 Hz."""
    plan = work_out(PlanRequest()).plan
    brew = SimulatedBrew(plan, "steady", seed=1, scale=ScaleModel(rate_hz=80.0))
    path = folder / "steady-80hz.jsonl"
    t_s = 0.0
    with TapeWriter(path, TapeHeader(plan)) as tape:
        while not brew.over:
            t_s += 1.0
            for reading in brew.advance_to(t_s):
                tape.append(reading)
        tape.finish(t_s)
    return path


def report(path: Path) -> None:
    """Print one row."""
    lines = path.read_text().splitlines()
    tape = read_tape(path)
    parse_s = best_s(lambda: [json.loads(line) for line in lines])
    read_s = best_s(lambda: read_tape(path))
    judge_s = best_s(lambda: final_frame(tape))
    print(
        f"{path.name:<28} {len(lines):>7} {tape.last_s:>8.0f} {parse_s:>8.3f} {read_s:>8.3f}"
        f" {judge_s:>8.3f} {tape.last_s / (read_s + judge_s):>8.0f}x"
        f" {(read_s + judge_s) / parse_s:>7.1f}x {judge_s / len(lines) * 1e6:>8.1f}"
    )


def main() -> None:
    """One row a tape."""
    print(
        f"{'tape':<28} {'lines':>7} {'brew s':>8} {'JSON s':>8} {'read s':>8} {'judge s':>8}"
        f" {'real time':>9} {'of JSON':>8} {'us/line':>8}"
    )
    with tempfile.TemporaryDirectory() as folder:
        for path in [Path(name) for name in sys.argv[1:]] or [simulated_tape(Path(folder))]:
            report(path)


if __name__ == "__main__":
    main()
