"""Evenness: bias, spread and coverage against the realised value, cell by cell.

Water falls from a height that the fit does not know, and drums as it lands: noise of J times the
flow that fades within 25 ms (J 0.024 s under robots' streams into cups; a bed is softer).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.signal import lfilter

from pourcoach.domain.fall import USUAL_FALL
from pourcoach.domain.limits import FlagLimits
from pourcoach.estimation.noise.scale_noise import ScaleNoise
from pourcoach.estimation.pours.evenness import evenness
from pourcoach.estimation.pours.pour_readings import PourReadings
from tests.benchmarks.estimation.ours import PLATFORM_DELAY_S
from tests.benchmarks.estimation.population import (
    FINE_HZ,
    HANDS,
    Brew,
    Scale,
    brew,
    fall_time_s,
    weigh,
)
from tests.benchmarks.estimation.sizes import Sizes

RATES_HZ = (5.0, 10.0, 20.0, 80.0, 100.0)
NOISES_G = (0.02, 0.1, 0.3)
DRUMMINGS_S = (0.0, 0.012, 0.024, 0.05)
FADES_S = 0.025
POUR_S = (5.0, 20.0)
LIMIT_CV = FlagLimits().uneven_cv
# What is flagged lies beyond the limit by so many of its errors: three quarters sure.
SURE = 0.674
MOST_BIAS = 0.005
HOLDS = (0.93, 0.97)
"""Of intervals stated to be 95 % wide."""


@dataclass(frozen=True)
class JudgedPour:
    """Estimated less realised, the stated error, the realised value; nan where not judged."""

    off: float
    error: float
    true_cv: float


def print_tables(sizes: Sizes) -> None:
    """By scale and drumming with edges and noise known."""
    print("\nEvenness by rate, noise at rest and drumming: edges and noise known, the fall not")
    for rate_hz in RATES_HZ:
        for noise_g in NOISES_G:
            for drumming_s in DRUMMINGS_S:
                scale = Scale(rate_hz, noise_g, 0.01)
                judged_pours = [known(one, scale) for one in pours(sizes.even, scale, drumming_s)]
                print_line(f"{rate_hz:3.0f} Hz {noise_g:.2f} g J {drumming_s:.3f} s", judged_pours)


def pours(seeds: Iterable[int], scale: Scale, drumming_s: float) -> Iterable[Brew]:
    """One of each seed, both hands in turn, on a scale that drums."""
    for seed in seeds:
        one = brew(seed, scale, HANDS[seed % 2], pour_s=POUR_S, cv=(0.05, 0.35))
        rng = np.random.default_rng([seed, 19])
        keep = np.exp(-1.0 / (FADES_S * FINE_HZ))
        white = rng.standard_normal(len(one.fine_s))
        drum = drumming_s * lfilter([np.sqrt(1.0 - keep * keep)], [1.0, -keep], white)
        yield weigh(
            rng,
            scale,
            one.fine_s,
            one.fine_flow,
            one.fine_mass + drum * one.fine_flow,
            one.start_s,
            one.stop_s,
            fall_time_s(seed),
        )


def known(one: Brew, scale: Scale) -> JudgedPour:
    """By evenness alone: edges and noise are known, the fall is not."""
    readings = PourReadings(
        (one.times_s - PLATFORM_DELAY_S).tolist(),
        one.grams.tolist(),
        ScaleNoise(scale.sigma_g**2, step_g=scale.step_g),
        USUAL_FALL.time_s,
        USUAL_FALL.error_s,
    )
    even = evenness(readings, one.start_s, one.stop_s)
    if even.flow_cv is None or even.error is None:
        return JudgedPour(np.nan, np.nan, one.true_cv())
    return JudgedPour(even.flow_cv - one.true_cv(), even.error, one.true_cv())


def _met(bias: float, bias_error: float, holds: float, count: int) -> str:
    """Whether bias and coverage lie within what is wanted; near it by two standard errors of so
    many pours, or not.

    An interval is ``flow_cv`` and 1.96 of its errors to either side. Evenness is never below 0: an
    interval that reaches there is one-sided, and a true value can only lie above it.
    """
    least, most = HOLDS
    if abs(bias) <= MOST_BIAS and least <= holds <= most:
        return "met"
    low = least - 2.0 * (least * (1.0 - least) / count) ** 0.5
    high = most + 2.0 * (most * (1.0 - most) / count) ** 0.5
    near = abs(bias) <= MOST_BIAS + 2.0 * bias_error and low <= holds <= high
    return "met within its size" if near else "MISSED"


def print_line(name: str, judged_pours: Sequence[JudgedPour]) -> None:
    """Bias, spread, coverage and flags of some pours."""
    off, error, true = np.array([(one.off, one.error, one.true_cv) for one in judged_pours]).T
    judged = ~np.isnan(off)
    flagged = judged & (true + off - SURE * error > LIMIT_CV)
    if not judged.any():
        print(f"  {name}: none of {len(judged_pours)} judged")
        return
    count = int(judged.sum())
    holds = float(np.mean(np.abs(off[judged]) <= 1.96 * error[judged]))
    give = (holds * (1.0 - holds) / count) ** 0.5
    bias, bias_error = float(off[judged].mean()), float(off[judged].std()) / count**0.5
    print(
        f"  {name}: {_met(bias, bias_error, holds, count)}: bias {bias:+.4f} ± {bias_error:.4f},"
        f" spread {off[judged].std():.4f}, error stated {error[judged].mean():.4f},"
        f" 95 % holds {100 * holds:.1f} ± {100 * give:.1f} %,"
        f" not judged {np.sum(~judged)} of {len(judged_pours)};"
        f" false uneven {np.sum(flagged & (true < 0.15))} of {np.sum(true < 0.15)} under 0.15,"
        f" missed {np.sum(~flagged & judged & (true > 0.3))} of {np.sum(judged & (true > 0.3))}"
        " above 0.3"
    )
