"""How often the wizard is right at once, and how well pours are judged on scales of all kinds.

Run: ``python -m tests.benchmarks.weighing``; some minutes.
"""

import itertools

from tests.wire.test_wizard import assert_reads_weights_never_seen, described

from pourcoach.reports.scale.judging_accuracy import judging_accuracy
from pourcoach.weighing.figures.pace import Pace
from pourcoach.weighing.figures.rest import Rest
from tests.wire.unknown_layouts import UNKNOWN

WEIGHTS_G = (100.0, 200.0, 500.0)
SEEDS = range(11, 14)
NOISES_G = (0.02, 0.05, 0.2)


def wizard() -> None:
    tries = list(itertools.product(WEIGHTS_G, SEEDS, NOISES_G))
    print(f"{'layout':<50} right at once, of {len(tries)}")
    total = 0
    for unknown in UNKNOWN:
        right = 0
        for known_g, seed, noise_g in tries:
            try:
                proposals = described(unknown, known_g, seed, noise_g=noise_g)
                assert_reads_weights_never_seen(unknown, proposals)
                right += 1
            except AssertionError:
                pass
        total += right
        print(f"{unknown.frame_of.__name__:<50} {right:>4}")
    print(f"{'all':<50} {total:>4} of {len(tries) * len(UNKNOWN)}")


def accuracy() -> None:
    print("\n noise g  step g   Hz  stamped   unevenness rms  bias    start rms s")
    for noise_g, step_g, rate_hz, jitter_s, stamped in (
        (0.03, 0.1, 10.0, 0.002, False),
        (0.03, 0.1, 10.0, 0.030, False),
        (0.05, 0.01, 80.0, 0.002, True),
        (0.05, 0.01, 80.0, 0.030, True),
        (0.05, 0.01, 80.0, 0.030, False),
        (0.10, 0.1, 20.0, 0.002, False),
        (0.03, 0.1, 5.0, 0.002, False),
        (0.30, 1.0, 10.0, 0.002, False),
        (1.50, 5.0, 5.0, 0.002, False),
    ):
        rest = Rest(0.0, noise_g, step_g, 0.0, 200, 20.0)
        stamp_s = 0.001 if stamped else None
        seen = judging_accuracy(rest, Pace(rate_hz, 1 / rate_hz, jitter_s, 0.0, stamp_s, 0))
        figures = (
            "no pour found"
            if seen is None
            else f"{seen.evenness_error:14.3f}  {seen.evenness_bias:+.3f}"
            f"  {seen.start_error_s:10.3f}"
        )
        print(f"{noise_g:8.2f} {step_g:7.2f} {rate_hz:4.0f}  {stamped!s:<7}  {figures}")


if __name__ == "__main__":
    wizard()
    accuracy()
