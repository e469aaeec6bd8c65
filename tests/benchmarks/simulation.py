"""How fast brews are simulated: in times real time, and against reading the same tape back.

Run: ``python -m tests.benchmarks.simulation``.
"""

import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.recordings.tape import Tape, TapeHeader, read_tape
from pourcoach.recordings.whole_tape import write_tape
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale.scale_model import USUAL_SCALE

REPEATS = 5
RATES_HZ = (10.0, 20.0, 40.0, 80.0)


def best_s(work: Callable[[], object]) -> float:
    """The shortest of a few runs: the least disturbed by the rest of the machine."""
    times = []
    for _ in range(REPEATS):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times)


def main() -> None:
    plan = work_out(PlanRequest()).plan
    print("rate Hz  readings  brew s  simulated in s  times real time  over reading its tape")
    for rate_hz in RATES_HZ:
        scale = replace(USUAL_SCALE, rate_hz=rate_hz)

        def simulated() -> SimulatedBrew:
            brew = SimulatedBrew(plan, "unsteady", 1, scale)  # noqa: B023  # called at once
            brew.run()
            return brew

        readings = SimulatedBrew(plan, "unsteady", 1, scale).run()
        brew_s = simulated().end_s or 0.0
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "brew.jsonl"
            write_tape(path, Tape(TapeHeader(plan), tuple(readings), brew_s))
            reading_s = best_s(lambda: read_tape(path))  # noqa: B023
        took_s = best_s(simulated)
        print(
            f"{rate_hz:7.0f}  {len(readings):8d}  {brew_s:6.1f}  {took_s:14.3f}"
            f"  {brew_s / took_s:15.0f}  {took_s / reading_s:21.1f}"
        )


if __name__ == "__main__":
    main()
