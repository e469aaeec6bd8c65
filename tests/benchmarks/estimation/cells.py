"""Evenness by the whole estimator, cell by cell: rate, drumming, and how readings arrive.

    nice python -m tests.benchmarks.estimation.cells [--pours N] [--seed N] [--rate HZ …]
        [--drumming S …] [--way NAME …] [--keep FILE] [--jobs N]

Each pour has a seed of its own, so that a large run can be cut: by cells, or by seeds. With
``--keep`` results are appended to a file, what is in it is not run again, and the table is of all
that it holds.
"""

import argparse
import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import astuple
from itertools import product
from multiprocessing import Pool
from pathlib import Path

import numpy as np

from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator
from tests.benchmarks.estimation.ours import PLATFORM_DELAY_S
from tests.benchmarks.estimation.population import Array, Brew, Scale
from tests.benchmarks.estimation.steadiness import (
    DRUMMINGS_S,
    RATES_HZ,
    JudgedPour,
    pours,
    print_line,
)

SEED = 570_000
"""Nothing was chosen on the seeds from here on."""
NOISE_G, STEP_G = 0.05, 0.01
JITTER_S = 0.006
PART_S = 0.5
"""A pour that is reported to start or to end further from where it did is reported in part."""


def whole(one: Brew, readings: Iterable[Reading]) -> JudgedPour:
    """By the whole estimator, from readings as they arrive. A pour that is reported in parts, since
    its flow all but stopped, or without a trickle at an end, is not judged: a part has an evenness
    of its own."""
    estimator = Estimator(PLATFORM_DELAY_S + JITTER_S)
    last_s = 0.0
    for reading in readings:
        estimator.feed(reading)
        last_s = reading.t_s
    parts = estimator.close(last_s).pours
    if len(parts) == 1:
        part = parts[0]
        in_full = part.end_s is not None and (
            max(abs(part.start_s - one.start_s), abs(part.end_s - one.stop_s)) < PART_S
        )
        if in_full and part.flow_cv is not None and part.flow_cv_error is not None:
            return JudgedPour(part.flow_cv - one.true_cv(), part.flow_cv_error, one.true_cv())
    return JudgedPour(np.nan, np.nan, one.true_cv())


def _arriving(one: Brew, kept: Array, rng: np.random.Generator, bunch: int = 1) -> list[Reading]:
    """These readings, each bunch as its last is weighed."""
    count = len(one.times_s)
    last = np.minimum(np.arange(count) // bunch * bunch + bunch - 1, count - 1)
    late_s = rng.exponential(JITTER_S, count)
    arrivals = np.round(np.maximum.accumulate((one.times_s + late_s)[last]), 4)
    return [Reading(float(arrivals[i]), float(one.grams[i])) for i in np.flatnonzero(kept)]


def _losing(share: float, packet: int, bunch: int = 1) -> Callable[..., list[Reading]]:
    def way(one: Brew, rng: np.random.Generator) -> list[Reading]:
        packets = rng.uniform(size=len(one.times_s) // packet + 1) >= share
        return _arriving(one, np.repeat(packets, packet)[: len(one.times_s)], rng, bunch)

    return way


def _knocked(one: Brew, rng: np.random.Generator) -> list[Reading]:
    """Two knocks in the pour: half sines of 4 to 60 g for 0.1 to 0.6 s."""
    readings = _arriving(one, np.ones(len(one.times_s)), rng)
    push = np.zeros(len(readings))
    for _ in range(2):
        at_s, lasts_s = rng.uniform(one.start_s, one.stop_s), rng.uniform(0.1, 0.6)
        size_g = np.exp(rng.uniform(np.log(4.0), np.log(60.0))) * rng.choice([-1.0, 1.0])
        push += size_g * np.sin(np.pi * np.clip((one.times_s - at_s) / lasts_s, 0.0, 1.0))
    return [
        Reading(reading.t_s, reading.grams + float(more))
        for reading, more in zip(readings, push, strict=True)
    ]


WAYS: Mapping[str, Callable[..., list[Reading]]] = {
    "all arrive": _losing(0.0, 1),
    "10 % lost": _losing(0.1, 1),
    "20 % lost": _losing(0.2, 1),
    "20 % lost in packets of 3": _losing(0.2, 3),
    "bunches of 3": _losing(0.0, 1, 3),
    "bunches of 3, 3 % lost": _losing(0.03, 1, 3),
    "bunches of 6, 3 % lost": _losing(0.03, 1, 6),
    "two knocks": _knocked,
}


def one_pour(rate_hz: float, drumming_s: float, way: str, seed: int) -> JudgedPour:
    """One pour of one cell; the same seed pours differently in another, so that what is by chance
    in one cell is not in all."""
    cell = (round(rate_hz), round(1000 * drumming_s), tuple(WAYS).index(way))
    made = int(np.random.SeedSequence([seed, *cell]).generate_state(1)[0])
    one = next(iter(pours([made], Scale(rate_hz, NOISE_G, STEP_G), drumming_s)))
    return whole(one, WAYS[way](one, np.random.default_rng([made, 23])))


def _one_pour(key: tuple[float, float, str, int]) -> JudgedPour:
    return one_pour(*key)


def main() -> None:
    """Run what was asked and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--pours", type=int, default=20, help="a cell")
    parser.add_argument("--seed", type=int, default=SEED, help="of the first pour")
    parser.add_argument("--rate", type=float, action="append")
    parser.add_argument("--drumming", type=float, action="append")
    parser.add_argument("--way", choices=tuple(WAYS), action="append")
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    asked = parser.parse_args()
    judged: dict[tuple[float, float, str, int], JudgedPour] = {}
    if asked.keep is not None and asked.keep.exists():
        for line in asked.keep.read_text().splitlines():
            rate_hz, drumming_s, way, seed, *found = json.loads(line)
            judged[rate_hz, drumming_s, way, seed] = JudgedPour(
                *(np.nan if f is None else f for f in found)
            )
    cells = product(asked.rate or RATES_HZ, asked.drumming or DRUMMINGS_S, asked.way or WAYS)
    left = [
        (*cell, seed)
        for cell in cells
        for seed in range(asked.seed, asked.seed + asked.pours)
        if (*cell, seed) not in judged
    ]
    with Pool(asked.jobs) as processes:
        for key, found in zip(left, processes.imap(_one_pour, left, chunksize=8), strict=True):
            judged[key] = found
            if asked.keep is not None:
                figures = [None if np.isnan(f) else f for f in astuple(found)]
                with asked.keep.open("a") as kept:
                    kept.write(json.dumps([*key, *figures]) + "\n")
    print_tables(judged)


def print_tables(judged: Mapping[tuple[float, float, str, int], JudgedPour]) -> None:
    """By rate, by drumming and by way; by two of them; then cell by cell."""
    print(
        f"Evenness by the whole estimator, {NOISE_G} g at rest, delays of {1000 * JITTER_S:.0f} ms"
    )
    print_line("in all", list(judged.values()))
    units = "{:g} Hz", "J {:.3f} s", "{}"
    for places in ((0,), (1,), (2,), (0, 1), (0, 2), (1, 2), (0, 1, 2)):
        print()
        cells: dict[tuple[float | str, ...], list[JudgedPour]] = {}
        for key, one in judged.items():
            cells.setdefault(tuple(key[place] for place in places), []).append(one)
        for cell in sorted(cells):
            name = ", ".join(
                units[place].format(value) for place, value in zip(places, cell, strict=True)
            )
            print_line(name, cells[cell])


if __name__ == "__main__":
    main()
