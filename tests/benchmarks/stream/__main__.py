"""How right the whole fold is on a rough stream, on simulated brews with known truth.

    nice python -m tests.benchmarks.stream [--brews N] [--first N] [--tuning] [--keep FILE]
        [--part rows|drumming|faults|cost] [--row NAME …] [--rate HZ …] [--noise G …] [--jobs N]

A brew takes half a second, of which its simulation takes more than half; ``--jobs`` runs as many
at a time as there are cores. Each brew has a seed of its own, so that a large run can be cut: by
rows, by cells of rate and noise, or by ``--first``. With ``--keep`` what comes of each brew is
appended to a file; what is in it is not run again, and tables are of all that it holds. Seeds that
were looked at while constants were chosen (``--tuning``) are never reported.
"""

import argparse
import os
import time
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from tests.benchmarks.stream import cases, cost, rows
from tests.benchmarks.stream.cases import REPORTED_SEED, TUNING_SEED
from tests.benchmarks.stream.kept import KeptTallies
from tests.benchmarks.stream.tally import Tally, merged

PARTS = ("rows", "drumming", "faults", "cost")


def main() -> None:
    """Run what was asked and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--brews", type=int, default=100, help="a row; a fifth of it a cell")
    parser.add_argument("--tuning", action="store_true", help="on the seeds used for tuning")
    parser.add_argument("--part", choices=PARTS, action="append")
    parser.add_argument("--first", type=int, default=0, help="leave out so many seeds")
    parser.add_argument("--row", choices=tuple(rows.ROWS), action="append")
    parser.add_argument("--rate", type=float, action="append", help="of the drumming table")
    parser.add_argument("--noise", type=float, action="append", help="of the drumming table")
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="brews at a time")
    asked = parser.parse_args()
    kept = KeptTallies(asked.keep, asked.jobs)
    seed = TUNING_SEED if asked.tuning else REPORTED_SEED
    parts = asked.part or PARTS
    begun = time.perf_counter()
    if "rows" in parts:
        first = seed + asked.first
        print_rows(kept, asked.row or tuple(rows.ROWS), range(first, first + asked.brews))
    if "faults" in parts:
        print_faults(kept, seed + 100_000 + asked.first, max(asked.brews // 8, 1))
    if "drumming" in parts:
        first, brews = seed + 200_000 + asked.first, max(asked.brews // 5, 1)
        cells = asked.rate or rows.RATES_HZ, asked.noise or rows.NOISES_G
        print_drumming(kept, *cells, range(first, first + brews))
    if "cost" in parts:
        cost.print_tables()
    print(f"\n{time.perf_counter() - begun:.0f} s")


def print_rows(kept: KeptTallies, names: Sequence[str], seeds: range) -> None:
    """One trouble a line; all have coloured noise and water that drums by 0.012 s."""
    print("One trouble a row, on brews without a fault of the hand")
    print(
        f"  {'':30} {'brews':>5} {'pours found':>12} {'lost':>5} {'false':>6} {'mass p95':>9}"
        f" {'poured':>7} {'water off > 3 g':>16} {'worst':>6} {'false flags a brew':>19}"
        f" {'touches':>8}"
    )
    for name in names:
        print(f"  {name:30} {_line(kept.of(name, rows.ROWS[name], seeds))}", flush=True)
        if blamed := kept.blamed(name):
            print(f"    seeds: {' '.join(map(str, blamed))}")


def _line(one: Tally) -> str:
    worst_g = max(one.water_off_g, key=abs)
    flags = " ".join(f"{kind.value} {count}" for kind, count in one.false_flags.most_common(3))
    return (
        f"{one.brews:5} {one.found:5} of {one.pours:3} {one.lost:5} {one.false_pours:6}"
        f" {one.mass_p95_g():7.2f} g"
        f" {one.poured_p95_g():5.2f} g"
        f" {one.water_wrong(3.0):16} {worst_g:+6.1f} {one.flags_a_brew:19.3f} {one.touches:8}"
        f"  {flags}"
    )


def print_faults(kept: KeptTallies, seed: int, brews_a_kind: int) -> None:
    """Faults of the hand where the platform is knocked."""
    print(f"\nFaults of the hand at twice their threshold, {brews_a_kind} brews a kind")
    for name, one in (
        ("six knocks", rows.knocked_faults(kept, seed, brews_a_kind)),
        ("a stall or a surge with a knock in it", rows.interrupted(kept, seed, 4 * brews_a_kind)),
        ("a stall or a surge, 10 Hz in bunches of 6", rows.bunched(kept, seed, 4 * brews_a_kind)),
    ):
        print(
            f"  {name:38} found {one.seen} of {one.ordered}, said to be unknown {one.unknown},"
            f" false flags a brew {one.flags_a_brew:.3f}; pours found {one.found} of {one.pours}"
        )


def print_drumming(
    kept: KeptTallies, rates_hz: Sequence[float], noises_g: Sequence[float], seeds: range
) -> None:
    """Pours not found and false pours an hour, cell by cell."""
    print("\nDrumming: pours lost + not distinguished, of all; false pours an hour")
    print("  rate    noise   " + "".join(f"{d:>22.3f} s" for d in rows.DRUMMINGS_S))
    every = []
    for rate_hz in rates_hz:
        for noise_g in noises_g:
            line = [
                kept.of(
                    f"drumming {rate_hz:g} Hz {noise_g:g} g {drumming_s:g} s",
                    partial(cases.drummed, noise_g=noise_g, rate_hz=rate_hz, drumming_s=drumming_s),
                    seeds,
                )
                for drumming_s in rows.DRUMMINGS_S
            ]
            every += line
            cells = "".join(
                f"{one.lost:6} + {one.lost_or_merged - one.lost} of {one.pours:3},"
                f" {one.false_pours / one.hours:4.1f}/h"
                for one in line
            )
            print(f"  {rate_hz:3.0f} Hz  {noise_g:.2f} g {cells}", flush=True)
    whole = merged(every)
    print(
        f"  in all: lost {whole.lost}, found {whole.found} of {whole.pours},"
        f" false pours {whole.false_pours / whole.hours:.2f} an hour,"
        f" false flags a brew {whole.flags_a_brew:.3f}"
    )


if __name__ == "__main__":
    main()
