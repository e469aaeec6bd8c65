"""What the whole fold costs: a reading on the shipped 80 Hz tape, its longest pause, its memory."""

import time
import tracemalloc
from dataclasses import replace
from pathlib import Path

from pourcoach.domain.inputs import Input, Reading
from pourcoach.domain.plan import Plan
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.tape import read_tape
from pourcoach.simulation.brew import SimulatedBrew
from tests.benchmarks.coaching.cases import clean

TAPE = Path(__file__).parents[3] / "recordings" / "steady-80hz.jsonl.gz"
REPEATS = 3
REST_HOURS = 24
REST_HZ = 10.0
HOUR_S = 3600


def print_tables(rest_hours: int = REST_HOURS) -> None:
    """Time and memory."""
    tape = read_tape(TAPE)
    plan = tape.header.plan
    least_s, longest_s = fold_cost(tape.inputs, plan)
    print("\nThe whole fold")
    print(f"  {TAPE.name}: {1e6 * least_s:.1f} µs a reading, longest feed {1e3 * longest_s:.1f} ms")
    long_plan, inputs = longest_brew()
    least_s, longest_s = fold_cost(inputs, long_plan)
    print(
        f"  a brew of {inputs[-1].t_s:.0f} s at 80 Hz: {1e6 * least_s:.1f} µs a reading,"
        f" longest feed {1e3 * longest_s:.1f} ms"
    )
    grown = rest_memory(plan, rest_hours)
    print(f"  {rest_hours} h of rest at {REST_HZ:.0f} Hz: " + ", ".join(grown))


def fold_cost(inputs: tuple[Input, ...], plan: Plan | None) -> tuple[float, float]:
    """Seconds an input, and those of the longest single one: the least of some runs each."""
    totals, longests = [], []
    for _ in range(REPEATS):
        pipeline, longest_s = Pipeline(plan), 0.0
        begun_s = time.perf_counter()
        before_s = begun_s
        for item in inputs:
            pipeline.feed(item)
            now_s = time.perf_counter()
            if now_s - before_s > longest_s:
                longest_s = now_s - before_s
            before_s = now_s
        totals.append(before_s - begun_s)
        longests.append(longest_s)
    return min(totals) / len(inputs), min(longests)


def longest_brew() -> tuple[Plan, tuple[Input, ...]]:
    """The longest of ten drawn brews, on a fast scale."""
    drawn = [clean(seed) for seed in range(10)]
    case = max(drawn, key=lambda one: one.plan.finish_s)
    fast = replace(case.scale, rate_hz=80.0, resolution_g=0.01)
    brew = SimulatedBrew(case.plan, case.hand, case.seed, fast)
    return case.plan, tuple(brew.run())


def rest_memory(plan: Plan | None, hours: int) -> list[str]:
    """Memory allocated after the first, and then every few hours of an empty scale."""
    tracemalloc.start()
    pipeline, notes, count = Pipeline(plan), [], 0
    steps = (0.1, -0.1, 0.0, 0.0, 0.1, 0.0, -0.1)
    for hour in range(1, hours + 1):
        while count < hour * HOUR_S * REST_HZ:
            count += 1
            pipeline.feed(Reading(round(count / REST_HZ, 4), steps[count % 7]))
        if hour == 1 or hour % 6 == 0:
            held_mb = tracemalloc.get_traced_memory()[0] / 1e6
            notes.append(f"{held_mb:.1f} MB after {hour} h")
    tracemalloc.stop()
    return notes
