"""Two pours, what else is done to the platform meanwhile, and what the estimator makes of it."""

import numpy as np
import pytest

from pourcoach.domain.estimate import Estimate, EventKind
from pourcoach.estimation.estimator import Estimator
from tests.estimation.conftest import Bench
from tests.estimation.platform.press_log import Weight

UNTIL_S = 60.0
WATER_G = 80.0


def water(times: np.ndarray) -> np.ndarray:
    """80 g in two pours of 5 g/s, from 5 to 13 and from 40 to 48 s."""
    return 5.0 * (np.clip(times, 5.0, 13.0) - 5.0) + 5.0 * (np.clip(times, 40.0, 48.0) - 40.0)


def push(from_s: float, up_s: float, hold_s: float, down_s: float, grams: float) -> Weight:
    """A hand that presses and lets go, smoothly."""
    knots = np.cumsum([from_s, up_s, hold_s, down_s])

    def weight(times: np.ndarray) -> np.ndarray:
        share = np.interp(times, knots, [0.0, 1.0, 1.0, 0.0])
        return grams * share * share * (3.0 - 2.0 * share)

    return weight


def step(at_s: float, grams: float) -> Weight:
    """A level that jumps for good."""
    return lambda times: grams * (times >= at_s)


def followed(rate_hz: float, *others: Weight) -> Estimate:
    """The water with these on top of it."""
    bench, estimator = Bench(rate_hz, 0.04, 0.05), Estimator()
    readings = bench.weigh(lambda t: water(t) + sum(one(t) for one in others), UNTIL_S, 0.1)
    for reading in readings:
        estimator.feed(reading)
    return estimator.close(UNTIL_S)


def kinds(estimate: Estimate) -> set[EventKind]:
    return {event.kind for event in estimate.events}


def all_found(estimate: Estimate) -> bool:
    """Both pours, no other, and the water of them."""
    starts = [pour.start_s for pour in estimate.pours]
    return starts == pytest.approx([5.1, 40.1], abs=0.3) and estimate.unbroken_g == pytest.approx(
        WATER_G, abs=1.0
    )


def gush(from_s: float, to_s: float, more_gps: float) -> Weight:
    """Water that runs harder for a while; its jet pushes by what falls in 0.1 s."""

    def weight(times: np.ndarray) -> np.ndarray:
        runs = (times >= from_s) & (times < to_s)
        return more_gps * (np.clip(times, from_s, to_s) - from_s + 0.1 * runs)

    return weight


def held(from_s: float, to_s: float, drips_gps: float = 0.0, load_g: float = 300.0) -> Weight:
    """A brewer of this weight off the scale, its edges a quarter of a second: what is poured into
    it meanwhile does not show until it stands again, what drips from it into the server does."""

    def weight(times: np.ndarray) -> np.ndarray:
        knots = [from_s, from_s + 0.25, to_s - 0.25, to_s]
        off = np.interp(times, knots, [0.0, 1.0, 1.0, 0.0])
        before_g = water(np.array([from_s]))[0]
        dripped_g = drips_gps * np.clip(times - from_s, 0.0, to_s - from_s)
        away_g = load_g + water(times) - before_g - dripped_g
        return -off * away_g

    return weight


def blow(at_s: float, grams: float) -> Weight:
    """With which a brewer is set down: one damped swing."""

    def weight(times: np.ndarray) -> np.ndarray:
        share = np.clip((times - at_s) / 0.3, 0.0, 1.0)
        return grams * np.exp(-1.5 * share) * np.sin(2.0 * np.pi * share) / 0.7

    return weight
