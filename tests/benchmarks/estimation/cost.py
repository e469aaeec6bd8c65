"""Time a reading, against filterpy's constant-velocity filter on the same readings."""

import time
from collections.abc import Callable

from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.filter.two_modes import TwoModeFilter
from tests.benchmarks.estimation.population import A, B, brew, touched_rest
from tests.benchmarks.estimation.rivals import velocity_filter

REPEATS = 5


def print_tables() -> None:
    """Least of some repeats each; ours with everything, then its filter alone."""
    print("\nCost a reading, µs, and in times filterpy's constant-velocity predict and update")
    for name, scale in (("A", A), ("B", B)):
        rest = touched_rest(1, scale, 60.0, 0.0)
        pours = brew(7, scale, rest_s=(18.0, 10.0))
        theirs = _least(lambda b=rest, s=scale: _filterpy(b.grams, s), len(rest.grams))
        for what, seconds in (
            ("Estimator.feed, at rest", _least(lambda r=rest.readings: _ours(r), len(rest.grams))),
            (
                "Estimator.feed, a pour in 40 s, refit and all",
                _least(lambda r=pours.readings: _ours(r), len(pours.grams)),
            ),
            (
                "the two-mode filter alone",
                _least(lambda r=rest.readings, s=scale: _modes(r, s.sigma_g**2), len(rest.grams)),
            ),
        ):
            print(f"  {name}: {what:46} {1e6 * seconds:6.1f}  ×{seconds / theirs:.2f}")
        print(f"  {name}: {'filterpy':46} {1e6 * theirs:6.1f}")


def _least(work: Callable[[], None], count: int) -> float:
    least = float("inf")
    for _ in range(REPEATS):
        begun = time.perf_counter()
        work()
        least = min(least, time.perf_counter() - begun)
    return least / count


def _ours(readings: list[Reading]) -> None:
    estimator = Estimator()
    for reading in readings:
        estimator.feed(reading)


def _modes(readings: list[Reading], noise_var: float) -> None:
    modes = TwoModeFilter(-1, readings[0].grams, 0.25)
    for reading in readings:
        modes.update(int(1000.0 * reading.t_s + 0.5), reading.grams, noise_var)


def _filterpy(grams, scale) -> None:
    kalman = velocity_filter(1.0 / scale.rate_hz, 10.0, scale.sigma_g, float(grams[0]))
    for value in grams:
        kalman.predict()
        kalman.update(value)
