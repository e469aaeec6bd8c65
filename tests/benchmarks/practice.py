"""Whether practice is scored rightly: thresholds of known watchers, learners distinguished.

Run: ``python -m tests.benchmarks.practice [--watchers N] [--trials T] [--pairs P]``.

Watchers answer by a Weibull function whose threshold, slope and false alarms are drawn evenly from
the ranges that the method allows for; their faults are chosen by it. Learners follow the schedule
for two days and are then tested twice (``tests/practice/progress/learner.py``).
"""

import argparse
from math import exp, sqrt
from random import Random
from statistics import fmean

from pourcoach.practice.progress.progress import progress
from pourcoach.practice.spotting.trial import (
    SpotKind,
    SpotThreshold,
    Trial,
    TrialPress,
    Window,
    times_limit,
)
from tests.practice.progress.learner import FOLLOWS, LEARNS, trained

FAULT = Window(10.0, 12.0, SpotKind.STALL)
SEEN, MISSED = (TrialPress(11.0, SpotKind.STALL),), ()
LAPSE = 0.04


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--watchers", type=int, default=400)
    parser.add_argument("--trials", type=int, default=64)
    parser.add_argument("--pairs", type=int, default=100)
    arguments = parser.parse_args()
    print(f"{'trials':>7}{'bias':>10}{'RMS dB':>9}{'interval holds':>16}{'width dB':>10}")
    for trials in (arguments.trials // 2, arguments.trials):
        watch(arguments.watchers, trials)
    learners(arguments.pairs)


def watch(watchers: int, trials: int) -> None:
    """Bias of the threshold as a size, and how often the 95 % interval holds it."""
    off_db: list[float] = []
    widths: list[float] = []
    held = 0
    for seed in range(watchers):
        chance = Random(f"watcher {seed}")
        # Well within the sizes that can be shown, as the thresholds of people who see faults are.
        truth_db = chance.uniform(-6.0, 9.0)
        slope = chance.uniform(1.5, 5.0)
        false = chance.uniform(0.02, 0.25)
        method = SpotThreshold()
        for _ in range(trials):
            level_db = method.next_level_db
            missed = exp(-(10 ** (slope * (level_db - truth_db) / 20)))
            sees = chance.random() < 1 - LAPSE - (1 - false - LAPSE) * missed
            method.take(Trial((FAULT,), SEEN if sees else MISSED, level_db))
        found = method.threshold()
        off_db.append(found.mean - truth_db)
        low, high = found.interval
        widths.append(high - low)
        held += low <= truth_db <= high
    bias = times_limit(fmean(off_db)) - 1
    rms_db = sqrt(fmean(off**2 for off in off_db))
    share = held / watchers
    error = sqrt(0.95 * 0.05 / watchers)
    print(
        f"{trials:>7}{100 * bias:>9.1f}%{rms_db:>9.2f}{100 * share:>12.1f} ±{100 * error:.1f}%"
        f"{fmean(widths):>9.2f}"
    )


def learners(pairs: int) -> None:
    """How often the test error of who has learnt is below that of who follows the curve."""
    right = apart = 0
    train = 0
    for seed in range(1000, 1000 + pairs):
        follows, learns = (progress(trained(each, seed).records)[0] for each in (FOLLOWS, LEARNS))
        assert follows.error is not None
        assert follows.error_interval is not None
        assert learns.error is not None
        assert learns.error_interval is not None
        right += learns.error < follows.error
        apart += learns.error_interval[1] < follows.error_interval[0]
        train += (learns.train.spread or 0.0) < (follows.train.spread or 0.0)
    print(f"learners distinguished from {follows.tests} test pours each: {right} of {pairs} pairs")
    print(f"  with intervals that do not meet: {apart}; by the spread of practice alone: {train}")


if __name__ == "__main__":
    main()
