"""How well the moment of STOP is forecast, and by how much each reading moves it. No screen.

Run: ``python -m tests.benchmarks.screen_forecast [--brews N] [RATE …]`` (rates in Hz).

The pours are those of ``tests.benchmarks.screen_stops``. A reading moves the forecast by what it
brings that was not known before. ``revised`` is how long STOP had been due when a reading showed
it, over all STOPs; ``innovation`` how far a reading moved the forecast in the last LOOK_S before
STOP; ``stated`` the standard error of that moment by the estimate's own errors of weight and flow,
and ``inside`` the share of innovations within 1.96 of it. ``noise`` is what the noise of a single
reading is worth in time: no forecast that looks at the readings moves by less.
"""

import argparse
import random
from dataclasses import dataclass
from math import hypot
from statistics import fmean, pstdev, quantiles

from pourcoach.domain.advice import Word
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Plan
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline
from tests.benchmarks.screen import FLOW_GPS, NOISE_G
from tests.benchmarks.screen_stops import FIRST_S, PAUSE_S, POUR_S, plan_of, poured_g

STOPS = 12
LOOK_S = 0.15
JITTER_S = 0.001
"""Of a reading's arrival."""


@dataclass(frozen=True)
class Forecasts:
    """Of one brew; all in seconds."""

    revised_s: list[float]
    """Of every STOP."""
    moved_s: list[float]
    """By each reading of the last LOOK_S before STOP."""
    stated_s: list[float]
    """The standard error before each of these."""


def forecasts(rate_hz: float, seed: int, plan: Plan) -> Forecasts:
    """One brew through the fold."""
    setup = Setup()
    pipeline = Pipeline(plan, setup)
    noise = random.Random(seed)
    made = Forecasts([], [], [])
    expected_s: float | None = None
    stopped_s = -POUR_S
    due_s = 0.0
    while due_s < FIRST_S + STOPS * (POUR_S + PAUSE_S):
        grams = poured_g(due_s) + noise.gauss(0.0, NOISE_G)
        at_s = round(due_s + noise.uniform(0.0, JITTER_S), 4)
        frame = pipeline.feed(Reading(at_s, round(grams, 2)))
        cue, estimate = frame.cue, frame.estimate
        if cue.word is Word.STOP and cue.since_s - stopped_s > POUR_S / 2:
            stopped_s = cue.since_s
            foreseen = expected_s is not None and expected_s <= cue.since_s
            made.revised_s.append(0.0 if foreseen else frame.t_s - cue.since_s)
        if cue.stop_due_s is not None and expected_s is not None:
            left_s = cue.stop_due_s - frame.t_s
            if left_s < LOOK_S:
                lead_s = left_s + setup.reaction_s
                error_g = hypot(estimate.mass_error_g, lead_s * estimate.flow_error_gps)
                made.moved_s.append(cue.stop_due_s - expected_s)
                made.stated_s.append(error_g / estimate.flow_gps)
        expected_s = cue.stop_due_s
        due_s += 1 / rate_hz
    return made


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("rates", nargs="*", type=float, default=[10.0, 80.0])
    parser.add_argument("--brews", type=int, default=20, help=f"of {STOPS} STOPs, of each rate")
    parser.add_argument("--seed", type=int, default=0)
    arguments = parser.parse_args()
    plan = plan_of(STOPS)
    print(f"{'ms':<8}{'stops':>8}{'foreseen':>10}{'revised p95':>13}", end="")
    print(f"{'innovation sd':>15}{'stated':>8}{'inside':>8}{'noise':>8}")
    for rate_hz in arguments.rates:
        brews = [forecasts(rate_hz, arguments.seed + brew, plan) for brew in range(arguments.brews)]
        revised = [1000 * each for brew in brews for each in brew.revised_s]
        moved = [1000 * each for brew in brews for each in brew.moved_s]
        stated = [1000 * each for brew in brews for each in brew.stated_s]
        inside = fmean(abs(by) <= 1.96 * error for by, error in zip(moved, stated, strict=True))
        foreseen = fmean(each == 0.0 for each in revised)
        print(
            f"{rate_hz:g} Hz".ljust(8) + f"{len(revised):>8}{foreseen:>10.0%}"
            f"{quantiles(revised, n=20)[-1]:>13.1f}{pstdev(moved):>15.1f}{fmean(stated):>8.1f}"
            f"{inside:>8.0%}{1000 * NOISE_G / FLOW_GPS:>8.1f}"
        )


if __name__ == "__main__":
    main()
