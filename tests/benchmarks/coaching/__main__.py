"""How right the coaching is, on simulated brews with known truth.

    nice python -m tests.benchmarks.coaching [--quick] [--tuning] [--part NAME]

Everything is counted against what really happened in the simulation, by the definitions that the
limits give. Seeds looked at while thresholds were chosen (``--tuning``) are never reported.
"""

import argparse
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import fields
from math import sqrt
from statistics import fmean, median, stdev

from pourcoach.domain.advice import FlagKind, Word
from tests.benchmarks.coaching import stops
from tests.benchmarks.coaching.cases import KINDS, REPORTED_SEED, TUNING_SEED, clean, faulty
from tests.benchmarks.coaching.judged import Judged, judge
from tests.benchmarks.coaching.loop import LEARNER, PRACTISED, Outcome, outcome
from tests.benchmarks.coaching.other import judge_other
from tests.benchmarks.coaching.unanswered import FLOWS_GPS, restless

TWICE = 2.0
GRADES = (0.7, 0.9, 1.1, 1.3, 1.6)
"""Sizes about the threshold, for calibration."""
PARTS = ("flags", "stops", "loop", "other", "unanswered")
CORRECTIONS = (Word.MORE, Word.SLOW, Word.STEADY, Word.SCALE)


def main() -> None:
    """Run what was asked and print it."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="a tenth of everything")
    parser.add_argument("--tuning", action="store_true", help="on the seeds used for tuning")
    parser.add_argument("--part", choices=PARTS, action="append")
    asked = parser.parse_args()
    seed = TUNING_SEED if asked.tuning else REPORTED_SEED
    share = 10 if asked.quick else 1
    parts = asked.part or PARTS
    if "flags" in parts:
        report_flags(seed, clean_brews=300 // share, brews_a_kind=max(3, 40 // share), share=share)
    if "stops" in parts:
        report_stops(seed, count=46 // (4 if asked.quick else 1))
    if "loop" in parts:
        report_loop(seed, count=80 // share)
    if "other" in parts:
        report_other(seed, count=60 // share)
    if "unanswered" in parts:
        report_unanswered(seed, count=20 // share)


def report_flags(seed: int, clean_brews: int, brews_a_kind: int, share: int) -> None:
    """Precision, recall, delay, calibration and cues."""
    calm = [judge(clean(seed + number)) for number in range(clean_brews)]
    clear: dict[FlagKind, list[Judged]] = {}
    graded: list[Judged] = []
    for place, kind in enumerate(KINDS, start=1):
        first = seed + 10_000 * place
        clear[kind] = [judge(faulty(first + n, kind, TWICE)) for n in range(brews_a_kind)]
        graded += [
            judge(faulty(first + 5_000 + n, kind, GRADES[n % len(GRADES)]))
            for n in range(max(3, 15 // share))
        ]
    everything = [*calm, *(one for ones in clear.values() for one in ones)]
    false = Counter(
        reported.flag.kind for one in calm for reported in one.reported if not reported.true
    )
    live_false = sum(
        len(one.live - {reported.flag.kind for reported in one.reported if reported.true})
        for one in calm
    )
    print(f"clean brews: {clean_brews}")
    print(f"  false flags a brew, in the end: {false.total() / clean_brews:.3f}  {_named(false)}")
    print(f"  kinds reported falsely at any moment a brew: {live_false / clean_brews:.3f}")
    _report_cues(calm)
    print(f"\nfaults at twice their threshold, {brews_a_kind} brews a kind")
    print(f"  {'kind':12} {'recall':>14} {'precision':>16} {'delay s: median':>16} {'worst':>6}")
    for kind in KINDS:
        found = [delay for one in clear[kind] for f, delay in one.found if f.kind is kind]
        missed = sum(fault.kind is kind for one in clear[kind] for fault in one.missed)
        reported = [
            reported.true
            for one in everything
            for reported in one.reported
            if reported.flag.kind is kind
        ]
        delays = sorted(delay for delay in found if delay is not None)
        print(
            f"  {kind.value:12} {_share(len(found), len(found) + missed):>14}"
            f" {_share(sum(reported), len(reported)):>16}"
            + (f" {median(delays):16.2f} {delays[-1]:6.2f}" if delays else "")
        )
    _report_calibration([*everything, *graded])


def _report_cues(calm: Sequence[Judged]) -> None:
    words: Counter[Word] = sum((one.cues for one in calm), Counter())
    minutes = sum(one.pouring_s for one in calm) / 60.0
    corrections = sum(words[word] for word in CORRECTIONS)
    stages = sum(len(one.case.plan.stages) for one in calm)
    print(f"  words a stage: {words.total() / stages:.2f}  {_named(words)}")
    print(f"  corrections a minute of pouring: {corrections / minutes:.2f}")


def _report_calibration(judged: Sequence[Judged]) -> None:
    print("\ncalibration, all flags in the end, faults from 0.7 to 2 times their threshold")
    print(f"  {'said':>11} {'mean said':>10} {'true':>16}")
    deciles: defaultdict[int, list[tuple[float, bool]]] = defaultdict(list)
    for one in judged:
        for reported in one.reported:
            deciles[min(9, int(10 * reported.flag.confidence))].append(
                (reported.flag.confidence, reported.true)
            )
    for decile, pairs in sorted(deciles.items()):
        said, true = fmean(pair[0] for pair in pairs), sum(pair[1] for pair in pairs)
        print(
            f"  {decile / 10:.1f} to {(decile + 1) / 10:.1f} {said:10.3f}"
            f" {_share(true, len(pairs)):>16}"
        )
    print(f"  {'kind':12} {'mean said':>10} {'true':>16}")
    for kind in KINDS:
        pairs = [
            (reported.flag.confidence, reported.true)
            for one in judged
            for reported in one.reported
            if reported.flag.kind is kind
        ]
        if pairs:
            said, true = fmean(pair[0] for pair in pairs), sum(pair[1] for pair in pairs)
            print(f"  {kind.value:12} {said:10.3f} {_share(true, len(pairs)):>16}")


def report_stops(seed: int, count: int) -> None:
    """Landing error by flow."""
    print(f"\nstops off the mark, g (mean ± sd), {count} a row, lead learnt after")
    print("  Hz  g/s   untrained       first words     lead learnt     perfect word    ratio of sd")
    for rate_hz in (10.0, 20.0, 80.0):
        for flow_gps in (4.0, 6.0, 8.0):
            made = stops.landings(flow_gps, count, seed, rate_hz)
            late = made[stops.LEARNT_AFTER :]
            coached = stops.spread([one.coached_g for one in late])
            perfect = stops.spread([one.perfect_g for one in late])
            columns = [
                stops.spread([one.unled_g for one in late]),
                stops.spread([one.coached_g for one in made[: stops.LEARNT_AFTER]]),
                coached,
                perfect,
            ]
            text = "".join(f"{mean:+6.2f} ± {sd:4.2f}   " for mean, sd in columns)
            print(f"  {rate_hz:2.0f}  {flow_gps:.0f}   {text} {coached[1] / perfect[1]:.2f}")


def report_loop(seed: int, count: int) -> None:
    """With and without coaching."""
    for name, hand in (("a hand that needs help", LEARNER), ("a practised hand", PRACTISED)):
        print(f"\n{name}: {count} brews, coached and not, on the same seeds")
        rows = {
            listens: [
                outcome(clean(seed + 900_000 + number), hand, listens=listens)
                for number in range(count)
            ]
            for listens in (False, True)
        }
        print(f"  {'':16} {'alone':>8} {'coached':>8} {'ratio':>6} ± standard error")
        for one in fields(Outcome):
            alone, coached = ([getattr(row, one.name) for row in rows[on]] for on in (False, True))
            means = f"{fmean(alone):8.3f} {fmean(coached):8.3f}"
            print(f"  {one.name:16} {means} {_ratio(alone, coached)}")


def _ratio(alone: Sequence[float], coached: Sequence[float]) -> str:
    """Of the means, with the standard error of a ratio of paired means (the delta method)."""
    whole = fmean(alone)
    if whole == 0.0:
        return ""
    ratio = fmean(coached) / whole
    left = [with_help - ratio * without for without, with_help in zip(alone, coached, strict=True)]
    return f"{ratio:6.2f} ± {stdev(left) / sqrt(len(left)) / whole:.2f}"


def report_unanswered(seed: int, count: int) -> None:
    """How often the panel changes for a hand that does not answer it."""
    print(f"\na hand that answers nothing, {count} brews a row, a minute of pouring")
    print("   g/s   words   colours")
    for flow_gps in FLOWS_GPS:
        made = [restless(flow_gps, seed + number) for number in range(count)]
        words = fmean(one.words_per_min for one in made)
        print(f"  {flow_gps:4} {words:7.1f} {fmean(one.colours_per_min for one in made):9.1f}")


def report_other(seed: int, count: int) -> None:
    """The same judged on another generator of brews."""
    made = [judge_other(seed + number) for number in range(count)]
    print(f"\nanother generator, {count} brews")
    wanted = Counter(kind for one in made for kind in one.ordered)
    found = Counter(kind for one in made for kind in one.ordered if kind in one.reported)
    false = Counter(kind for one in made for kind in one.reported if kind not in one.ordered)
    clean_count = sum(not one.ordered for one in made)
    clean_false = sum(len(one.reported) for one in made if not one.ordered)
    print(f"  false flags a clean brew: {clean_false / max(1, clean_count):.3f} of {clean_count}")
    for kind in sorted(wanted, key=lambda kind: kind.value):
        print(f"  {kind.value:12} recall {_share(found[kind], wanted[kind]):>14}")
    print(f"  kinds reported that were not ordered: {_named(false) or 'none'}")


def _named(counts: Counter[FlagKind] | Counter[Word]) -> str:
    return ", ".join(f"{one.value} {count}" for one, count in counts.most_common())


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.3f} of {whole}" if whole else "none"


if __name__ == "__main__":
    main()
