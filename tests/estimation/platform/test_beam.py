"""Readings that are weighed against each other for a while, and how that ends."""

from itertools import accumulate
from random import Random

import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.inputs import Reading, Tare
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.filter.filter_state import state_at
from pourcoach.estimation.platform.beam import Beam
from pourcoach.estimation.platform.scene import Scene

RESTING_G = [0.0, 0.1, 0.0, 0.0, 0.0]
"""Of a coarse scale at 10 Hz: its noise is a part of its last digit."""
STARTS_S = 4.0
LASTS_S = 5.0
SEEN_S = 0.8
"""Before anything is said of a pour whose beginning was rough."""
WITHIN_G = 0.5


@pytest.mark.parametrize(
    ("rough_g", "flow_gps"),
    [
        ((1.0, 1.0, 0.9, 0.4, 0.7, 0.9, 0.9, 0.6), 8.0),
        ((1.0, 1.0, 0.9, 0.4), 8.0),
        ((1.0, 1.0, 0.9, 0.4), 9.0),
        ((1.0, 1.0, 0.9, 0.5), 9.0),
    ],
    ids=["as simulated", "hesitates", "hesitates and grows", "hesitates less"],
)
def test_a_pour_with_a_rough_beginning_is_seen_though_a_small_tare_cannot_be_ruled_out(
    rough_g: tuple[float, ...], flow_gps: float
) -> None:
    steps_g = [*rough_g, *[flow_gps / 10.0] * round(LASTS_S * 10.0)]
    weights_g = RESTING_G * 8 + list(accumulate(steps_g))
    weights_g += [weights_g[-1]] * 30
    estimator = Estimator()
    seen_s = None
    for number, weight_g in enumerate(weights_g):
        estimate = estimator.feed(Reading(number / 10.0, round(weight_g, 1)))
        if estimate.pouring and seen_s is None:
            seen_s = estimate.t_s
    assert seen_s is not None
    assert seen_s < STARTS_S + SEEN_S
    (pour,) = estimate.pours
    assert pour.start_s == pytest.approx(STARTS_S, abs=0.4)
    assert pour.mass_g == pytest.approx(weights_g[-1], abs=WITHIN_G)
    assert not estimate.events
    assert estimate.mass_g == pytest.approx(weights_g[-1], abs=WITHIN_G)


@pytest.mark.parametrize("noise_g", [0.05, 0.1])
def test_a_tare_commanded_as_water_begins_loses_none(noise_g: float) -> None:
    """It takes off no more than may be the noise of a pour of which little is known yet."""
    noise = Random(1)
    begins_g, tared_g = [0.1, -0.01, 0.12, 0.84, 2.08], 2.05
    goes_on_g = [0.74, 1.53, 2.21, 2.99, 3.85, 4.73, 5.47, 6.28]
    goes_on_g += [6.28 + 0.8 * place + noise.gauss(0.0, noise_g) for place in range(1, 60)]
    rests_g, stays_g = ([noise.gauss(0.0, noise_g) for _ in range(40)] for _ in range(2))
    weights_g = [*rests_g, *begins_g, *goes_on_g, *[goes_on_g[-1] + off_g for off_g in stays_g]]
    estimator = Estimator()
    for number, weight_g in enumerate(weights_g):
        estimate = estimator.feed(Reading(number / 10.0, round(weight_g, 2)))
        if number == len(rests_g) + len(begins_g) - 1:
            estimator.feed(Tare(number / 10.0, by_scale=True))
    assert estimate.unbroken_g == pytest.approx(goes_on_g[-1] + tared_g, abs=WITHIN_G)
    assert [event.kind for event in estimate.events] == [EventKind.SCALE_TARE]


def test_what_nothing_decides_is_settled_after_a_second_and_a_half() -> None:
    """Eight of twenty grams went: a part of a hand, or a thing, and no reading shows which."""
    scene = Scene(rests=((0.0, 0.0),), rested_s=1.0)
    beam = Beam(state_at(0, 20.0, 0.01, 0.001, 0.0), 0.0, 0.0, scene)
    settled_s = []
    for ticks in range(50, 3000, 50):
        beam.take(ticks, 12.0, 0.0025, commanded_tare=False)
        if beam.settled:
            settled_s.append(ticks / 1000)
    assert beam.posterior < 0.99
    assert settled_s[0] == pytest.approx(1.6, abs=0.2)
