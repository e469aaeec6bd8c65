"""Evenness: bias, spread and coverage against the realised value, cell by cell.

Water falls from a height that the fit does not know, and drums as it lands: noise of J times the
flow that fades within 25 ms (J 0.024 s under robots' streams into cups; a bed is softer).
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
from scipy.signal import lfilter

from pourcoach.domain.fall import USUAL_FALL
from pourcoach.domain.inputs import Reading
from pourcoach.domain.limits import FlagLimits
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.noise.scale_noise import ScaleNoise
from pourcoach.estimation.pours.evenness import evenness
from pourcoach.estimation.pours.pour_readings import PourReadings
from tests.benchmarks.estimation.ours import PLATFORM_DELAY_S
from tests.benchmarks.estimation.population import (
    FINE_HZ,
    HANDS,
    Array,
    Brew,
    Scale,
    brew,
    fall_time_s,
    weigh,
)
from tests.benchmarks.estimation.sizes import Sizes

RATES_HZ = (5.0, 10.0, 20.0, 80.0)
NOISES_G = (0.02, 0.1, 0.3)
DRUMMINGS_S = (0.0, 0.012, 0.024, 0.05)
FADES_S = 0.025
JITTER_S = 0.006
POUR_S = (5.0, 20.0)
LIMIT_CV = FlagLimits().uneven_cv
# What is flagged lies beyond the limit by so many of its errors: three quarters sure.
SURE = 0.674


@dataclass(frozen=True)
class Told:
    """Told less realised, the error told, and the realised value; nan where it was not judged."""

    off: float
    error: float
    true_cv: float


def print_tables(sizes: Sizes) -> None:
    """By scale and drumming with edges and noise known; then by the whole estimator."""
    print("\nEvenness by rate, noise at rest and drumming: edges and noise known, the fall not")
    for rate_hz in RATES_HZ:
        for noise_g in NOISES_G:
            for drumming_s in DRUMMINGS_S:
                scale = Scale(rate_hz, noise_g, 0.01)
                told = [_known(one, scale) for one in _pours(sizes.even, scale, drumming_s)]
                _print(f"{rate_hz:3.0f} Hz {noise_g:.2f} g J {drumming_s:.3f} s", told)
    print("\nEvenness by the whole estimator, 0.05 g at rest, J 0.012 s, delays of 6 ms")
    for name, rate_hz, way in WAYS:
        scale = Scale(rate_hz, 0.05, 0.01)
        _print(
            f"{rate_hz:3.0f} Hz {name}",
            [
                _whole(one, way(one, np.random.default_rng([seed, 23])))
                for seed, one in zip(sizes.even, _pours(sizes.even, scale, 0.012), strict=True)
            ],
        )


def _pours(seeds: Iterable[int], scale: Scale, drumming_s: float) -> Iterable[Brew]:
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


def _known(one: Brew, scale: Scale) -> Told:
    readings = PourReadings(
        (one.times_s - PLATFORM_DELAY_S).tolist(),
        one.grams.tolist(),
        ScaleNoise(scale.sigma_g**2, step_g=scale.step_g),
        USUAL_FALL.time_s,
        USUAL_FALL.error_s,
    )
    even = evenness(readings, one.start_s, one.stop_s)
    if even.flow_cv is None or even.error is None:
        return Told(np.nan, np.nan, one.true_cv())
    return Told(even.flow_cv - one.true_cv(), even.error, one.true_cv())


def _whole(one: Brew, readings: Iterable[Reading]) -> Told:
    estimator = Estimator(PLATFORM_DELAY_S + JITTER_S)
    last_s = 0.0
    for reading in readings:
        estimator.feed(reading)
        last_s = reading.t_s
    longest = max(estimator.close(last_s).pours, key=lambda pour: pour.duration_s or 0.0)
    if longest.flow_cv is None or longest.flow_cv_error is None:
        return Told(np.nan, np.nan, one.true_cv())
    return Told(longest.flow_cv - one.true_cv(), longest.flow_cv_error, one.true_cv())


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


WAYS: tuple[tuple[str, float, Callable[..., list[Reading]]], ...] = tuple(
    (name, rate_hz, way)
    for name, way in (
        ("all arrive", _losing(0.0, 1)),
        ("10 % lost", _losing(0.1, 1)),
        ("20 % lost", _losing(0.2, 1)),
        ("20 % lost in packets of 3", _losing(0.2, 3)),
        ("bunches of 3", _losing(0.0, 1, 3)),
        ("bunches of 3, 3 % lost", _losing(0.03, 1, 3)),
        ("bunches of 6, 3 % lost", _losing(0.03, 1, 6)),
        ("two knocks", _knocked),
    )
    for rate_hz in (10.0, 20.0, 80.0)
)


def _print(name: str, told: list[Told]) -> None:
    off, error, true = np.array([(one.off, one.error, one.true_cv) for one in told]).T
    judged = ~np.isnan(off)
    flagged = judged & (true + off - SURE * error > LIMIT_CV)
    if not judged.any():
        print(f"  {name}: none of {len(told)} judged")
        return
    print(
        f"  {name}: bias {off[judged].mean():+.4f} ± {off[judged].std() / judged.sum() ** 0.5:.4f},"
        f" spread {off[judged].std():.4f}, error told {error[judged].mean():.4f},"
        f" 95 % holds {100 * np.mean(np.abs(off[judged]) < 1.96 * error[judged]):.0f} %,"
        f" not judged {np.sum(~judged)} of {len(told)};"
        f" false uneven {np.sum(flagged & (true < 0.15))} of {np.sum(true < 0.15)} under 0.15,"
        f" missed {np.sum(~flagged & judged & (true > 0.3))} of {np.sum(judged & (true > 0.3))}"
        " above 0.3"
    )
