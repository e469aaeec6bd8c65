"""Hands that press, one after the other or over one another: no water, and nothing lifted."""

import numpy as np
import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.inputs import Reading, Tare
from pourcoach.estimation.estimator import Estimator
from pourcoach.simulation.brew import SimulatedBrew
from tests.benchmarks.stream.cases import pressed
from tests.estimation.conftest import Bench
from tests.estimation.platform.handled import UNTIL_S, WATER_G, all_found, followed, push, water

AS_WATER_STOPS = 41_006_415
"""One in which a hand begins to press a second before water of forty seconds stops."""
Push = tuple[float, float, float, float, float]
"""From when, how long it grows, holds and goes, and how hard."""


@pytest.mark.parametrize(
    ("rate_hz", "pushes"),
    [
        (10.0, [(18.57, 1.36, 0.41, 0.27, 30.8), (21.37, 0.86, 0.66, 0.49, 34.8)]),
        (10.0, [(18.29, 1.32, 1.93, 0.42, 29.0), (22.19, 1.12, 1.34, 0.51, 25.3)]),
        (50.0, [(18.69, 1.32, 1.84, 0.36, 27.1), (21.58, 1.45, 1.27, 0.3, 20.3)]),
        (20.0, [(18.86, 0.84, 1.81, 0.62, 31.0), (19.94, 1.05, 0.68, 0.53, 35.9)]),
        (20.0, [(18.52, 1.06, 1.65, 0.36, 32.1), (20.93, 1.31, 0.46, 0.51, 12.8)]),
        (50.0, [(18.42, 1.31, 0.47, 0.42, 21.9), (18.78, 1.2, 1.3, 0.4, 29.3)]),
    ],
)
def test_two_hands_are_no_water_and_lift_nothing(rate_hz: float, pushes: list[Push]) -> None:
    """Where the first held still, the second only passes by; and once both are gone, all that
    seemed to be set down or taken away was a hand."""
    estimate = followed(rate_hz, *(push(*one) for one in pushes))
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g)
    assert {event.kind for event in estimate.events} == {EventKind.LEAN}


@pytest.mark.parametrize(
    ("rate_hz", "pushes"),
    [
        (50.0, [(18.69, 1.17, 0.58, 0.37, 18.7), (22.02, 0.45, 0.8, 0.54, 14.2)]),
        (50.0, [(18.46, 1.26, 1.55, 0.33, 10.3), (22.54, 0.55, 0.95, 0.73, 34.2)]),
    ],
)
def test_the_last_of_a_hand_is_neither_a_level_nor_a_rest(
    rate_hz: float, pushes: list[Push]
) -> None:
    assert all_found(followed(rate_hz, *(push(*one) for one in pushes)))


@pytest.mark.parametrize(
    ("rate_hz", "at_s", "up_s", "grams"),
    [(50.0, 2.6, 0.7, 32.0), (10.0, 2.7, 0.5, 25.0), (20.0, 2.5, 1.2, 40.0)],
)
def test_a_scale_tares_itself_under_a_hand(
    rate_hz: float, at_s: float, up_s: float, grams: float
) -> None:
    """What it shows once the hand has gone is as far below zero as the hand pressed, and no brewer
    has been lifted."""
    stands_g, tared_s = 389.4, 3.0
    hand = push(at_s, up_s, 1.0, 0.4, grams)

    def weight(times: np.ndarray) -> np.ndarray:
        return stands_g + water(times) + hand(times)

    zero_g = float(weight(np.array([tared_s - 1.0 / rate_hz]))[0])
    readings = Bench(rate_hz, 0.06, 0.1).weigh(
        lambda times: weight(times) - zero_g * (times >= tared_s), UNTIL_S
    )
    estimator, commanded = Estimator(), False
    for reading in readings:
        if not commanded and reading.t_s > tared_s - 0.2:
            commanded = True
            estimator.feed(Tare(tared_s - 0.2, by_scale=True))
        estimator.feed(reading)
    estimate = estimator.close(UNTIL_S)
    assert len(estimate.pours) == 2
    assert estimate.unbroken_g == pytest.approx(stands_g + WATER_G, abs=1.0)
    assert estimate.mass_g == pytest.approx(stands_g + WATER_G - zero_g, abs=1.0)
    assert not any(event.change_g < -100.0 for event in estimate.events[1:])


@pytest.mark.parametrize("water_after_s", [0.4, 0.7])
def test_a_hand_that_lets_go_slowly_before_a_pour_is_over_when_that_begins(
    water_after_s: float,
) -> None:
    """It was reported to lean on the whole of the pour, which nobody could judge then."""
    hand, begins_s = push(10.0, 0.3, 3.0, 2.0, 12.0), 15.3 + water_after_s
    estimator = Estimator()
    for reading in Bench(80.0, 0.04, 0.1).weigh(
        lambda times: hand(times) + 5.0 * np.clip(times - begins_s, 0.0, 10.0), 33.0, 0.1
    ):
        estimator.feed(reading)
    estimate = estimator.close(33.0)
    assert estimate.events
    assert max(event.end_s or 0.0 for event in estimate.events) < begins_s + 1.0


@pytest.mark.parametrize(("up_s", "hold_s", "down_s"), [(0.7, 0.4, 0.42), (0.8, 0.2, 0.3)])
def test_a_hand_that_lets_go_within_two_readings_is_no_tare(
    up_s: float, hold_s: float, down_s: float
) -> None:
    """At five readings a second little is seen of it. The weight had rested for nine seconds, more
    than a hand holds still, but it had not rested under this one."""
    estimator, hand = Estimator(), push(9.0, up_s, hold_s, down_s, 6.6)
    times = np.arange(1, 105) / 5.0
    noise = 0.2 * np.random.default_rng(4).standard_normal(len(times))
    weights = hand(times) + 5.0 * np.clip(times - 11.1, 0.0, 8.0) + noise
    for t_s, weight_g in zip(times, weights, strict=True):
        estimator.feed(Reading(float(t_s), round(float(weight_g), 1)))
    estimate = estimator.close(21.0)
    assert EventKind.SCALE_TARE not in {event.kind for event in estimate.events}
    assert estimate.unbroken_g == pytest.approx(40.0, abs=1.0)


# Twentieths of a gram, 20 a second: a hand of 28.7 g grows for 1.2 s, holds, and is gone within
# three readings; three quarters of a second later the first drops dip, and water runs.
PRESSED = """
0 0 -1 1 10 29 53 84 121 160 204 249 293 337 379 420 455 486 509 528 543 555 564 571 574 574 574 574
575 574 575 574 573 574 573 574 573 574 574 574 574 574 574 566 458 164 0 -1 0 -1 -1 0 0 -1 -1 -1 0
0 0 -4 3 13 19 28 37 44 49 56 62 67 76 77 88 94 97 105 111 120 125 132 137 144 150 159
"""


def test_nothing_comes_back_while_no_reading_moves() -> None:
    """As the hand goes the figure drops to zero as by a tare. That the tare had been one under the
    hand was believed of the first drops, since it took in whatever they weighed: 2 g were lost."""
    estimator, rest = Estimator(), [0, 1, -1, 0, 0, 1, 0, -1]
    pressed = list(map(int, PRESSED.split()))
    runs = [pressed[-1] + 7 * place for place in range(1, 80)]
    for place, weight in enumerate([*5 * rest, *pressed, *runs, *40 * [runs[-1]]]):
        estimator.feed(Reading(place / 20.0, weight / 20.0))
    estimate = estimator.close(place / 20.0)
    assert {event.kind for event in estimate.events} == {EventKind.LEAN}
    assert [pour.mass_g for pour in estimate.pours] == [pytest.approx(runs[-1] / 20.0, abs=0.5)]


@pytest.mark.parametrize(
    ("rate_hz", "noise_g", "pushes"),
    [
        (10.0, 0.1, [(17.12, 7.09, 0.71, 0.34, 59.9)]),
        (40.0, 0.1, [(18.67, 7.83, 1.03, 0.53, 40.1)]),
        (50.0, 0.04, [(17.63, 3.17, 1.59, 1.15, 45.3), (24.0, 5.67, 0.28, 0.54, 41.7)]),
    ],
)
def test_a_hand_that_pressed_as_slowly_as_water_comes_is_none_once_it_has_gone(
    rate_hz: float, noise_g: float, pushes: list[Push]
) -> None:
    """While it goes on it cannot be distinguished from water; in the end the scale reads just what
    it read before."""
    readings = Bench(rate_hz, noise_g, 0.05).weigh(
        lambda t: water(t) + sum(push(*one)(t) for one in pushes), UNTIL_S, 0.1
    )
    first = Estimator()
    for reading in readings:
        first.feed(reading)
    again = Estimator(hindsight=first.hindsight(first.close(UNTIL_S)))
    for reading in readings:
        again.feed(reading)
    assert all_found(again.close(UNTIL_S))


@pytest.mark.parametrize(
    ("rate_hz", "hand"),
    [(10.0, (44.6, 4.2, 0.4, 1.5, 40.0)), (40.0, (44.2, 3.0, 1.0, 0.5, 22.0))],
)
def test_a_hand_that_begins_to_press_as_long_water_stops_lifts_nothing(
    rate_hz: float, hand: Push
) -> None:
    """The weight had not rested for longer than a hand presses: it may come down to anything that
    it was in the course of the pour."""
    readings = Bench(rate_hz, 0.04, 0.05).weigh(
        lambda t: 4.0 * (np.clip(t, 5.0, 45.0) - 5.0) + push(*hand)(t), UNTIL_S, 0.1
    )
    estimator = Estimator()
    for reading in readings:
        estimator.feed(reading)
    estimate = estimator.close(UNTIL_S)
    assert EventKind.LIFTED not in {event.kind for event in estimate.events}
    assert estimate.unbroken_g == pytest.approx(160.0, abs=1.0)
    assert sum(pour.mass_g or 0.0 for pour in estimate.pours) == pytest.approx(160.0, abs=1.5)


def test_a_wavering_hand_leaves_room_for_the_account_in_which_it_has_gone() -> None:
    """It stops and goes on three times; each of those may have been the last that was seen of the
    weight, and those accounts alone filled the beam for eleven seconds in the second pass."""
    case = pressed(AS_WATER_STOPS)
    brew = SimulatedBrew(case.plan, case.hand, case.seed, case.scale, faults=case.faults)
    inputs = brew.run()
    first = Estimator()
    for item in inputs:
        first.feed(item)
    again = Estimator(hindsight=first.hindsight(first.close(item.t_s)))
    for item in inputs:
        again.feed(item)
    last = again.close(item.t_s)
    assert EventKind.LIFTED not in {event.kind for event in last.events}
    assert [pour.start_s for pour in last.pours] == pytest.approx(
        [pour.start_s for pour in brew.truth.pours], abs=0.5
    )


def test_a_slow_scale_misses_all_of_a_hand_that_lets_go() -> None:
    """Of 16 g that grew like water, at five readings a second: a tare was believed, and with it
    17 g of water. Yet the scale shows what it showed before, a little less than zero."""
    weights = [0.0] * 12 + [0.5, 1.5, 2.6, 4.5, 6.5, 8.9, 10.0, 12.1, 13.4, 15.3, 16.3, 16.3, 16.0]
    weights += [16.1, 15.0, 14.9, 15.9, 16.0, 15.8, 14.6] + [0.0] * 9
    weights += [1.4 * place for place in range(1, 30)] + [40.6] * 30
    noise = 0.03 * np.random.default_rng(2).standard_normal(len(weights))
    estimator = Estimator()
    for place, (weight_g, off_g) in enumerate(zip(weights, noise, strict=True)):
        estimator.feed(Reading(place / 5.0, round(weight_g - 0.17 + float(off_g), 2)))
    estimate = estimator.close(place / 5.0)
    assert EventKind.SCALE_TARE not in {event.kind for event in estimate.events}
    assert estimate.unbroken_g == pytest.approx(40.4, abs=0.5)
