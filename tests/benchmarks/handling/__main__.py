"""Whether handling changes the water or ends a brew, on simulated brews with known truth.

    nice python -m tests.benchmarks.handling [--brews N] [--tares N] [--first NUMBER] [--tuning]

Seeds that were looked at while constants were chosen (``--tuning``) are never reported.
"""

import argparse
import asyncio
import time

from tests.benchmarks.handling.cases import REPORTED_SEED, TUNING_SEED, handled, own_tares
from tests.benchmarks.handling.followed import follow
from tests.benchmarks.stream.tally import tally

WATER_G = 1.0
OWN_TARE_WATER_G = 3.0


def main() -> None:
    """Run what was asked and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--brews", type=int, default=300, help="with everything done to them")
    parser.add_argument("--tares", type=int, default=500, help="with one to three own tares")
    parser.add_argument("--first", type=int, default=0, help="number to begin with, for a part")
    parser.add_argument("--tuning", action="store_true", help="on the seeds used for tuning")
    asked = parser.parse_args()
    seed = asked.first + (TUNING_SEED if asked.tuning else REPORTED_SEED)
    begun = time.perf_counter()
    for lifts_too in (False, True):
        asyncio.run(print_handled(seed, asked.brews, lifts_too=lifts_too))
    print_own_tares(seed + 500_000, asked.tares)
    print(f"\n{time.perf_counter() - begun:.0f} s")


async def print_handled(seed: int, brews: int, *, lifts_too: bool) -> None:
    """Keys, clicks and the scale's button, with or without lifts, at any moment."""
    if not brews:
        return
    wrong, unasked, asked, worst_g = [], [], [], 0.0
    for number in range(brews):
        one = await follow(handled(seed + number, lifts_too=lifts_too))
        worst_g = max(worst_g, one.water_off_g, key=abs)
        right = abs(one.water_off_g) <= WATER_G
        if one.asked:
            asked.append(right)
        if not right:
            wrong.append(f"{seed + number}: {one.water_off_g:+.1f} g")
        if one.ended_unasked:
            unasked.append(f"{seed + number}")
    lifts = "half of them with a lift" if lifts_too else "no lifts"
    print(f"Clicks, keys, undo and own tares at any moment, {lifts}, {brews} brews")
    print(f"  water off by more than {WATER_G:g} g: {len(wrong)}, worst {worst_g:+.2f} g")
    print(f"  asked in {len(asked)}, and the water right after the answer in {sum(asked)} of them")
    print(f"  ended unasked: {len(unasked)}")
    for line in (*wrong, *(f"{one}: ended" for one in unasked)):
        print(f"    seed {line}")


def print_own_tares(seed: int, brews: int) -> None:
    """The scale's own button, one to three times a brew."""
    if not brews:
        return
    result = tally(own_tares(seed + number) for number in range(brews))
    wrong = [
        f"seed {seed + number}: {off_g:+.1f} g"
        for number, off_g in enumerate(result.water_off_g)
        if abs(off_g) > OWN_TARE_WATER_G
    ]
    print(f"\nThe scale's own tare, one to three times at any moment, {brews} brews")
    print(
        f"  pours found {result.found} of {result.pours} ({result.found / result.pours:.4f}),"
        f" false {result.false_pours}; water off by more than {OWN_TARE_WATER_G:g} g: {len(wrong)}"
    )
    print(f"  false flags {dict(result.false_flags)}; touches {result.touches}")
    for line in wrong:
        print(f"    {line}")


main()
