"""Spikes of a converter, single or by chance together, are no touches."""

from math import cos, exp, pi
from random import Random

import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.inputs import Reading
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.platform.spikes import SpikeWatch

GROUPS_S = (60.0, 80.0, 100.0)
"""Two readings far off, one after the other."""


def events(singles_every: int | None, rate_hz: float = 20.0) -> list[tuple[EventKind, float]]:
    chance, estimator = Random(3), Estimator()
    for number in range(round(120 * rate_hz)):
        t_s, grams = number / rate_hz, chance.gauss(0.0, 0.05)
        if singles_every and number % singles_every == 7:
            grams += chance.choice((-1, 1)) * chance.uniform(5, 80)
        for group_s in GROUPS_S:
            place = number - round(group_s * rate_hz)
            grams += {0: 40.0, 1: -25.0}.get(place, 0.0)
        estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 2)))
    return [(event.kind, event.start_s) for event in estimate.events]


def test_two_together_are_spikes_where_single_ones_are_frequent() -> None:
    found = events(singles_every=25)
    kinds = {kind for kind, start_s in found if start_s > 30.0}
    assert kinds == {EventKind.SPIKE}
    assert len(found) > 80


def test_two_together_are_a_touch_on_a_scale_that_has_none() -> None:
    found = events(singles_every=None)
    assert [kind for kind, _ in found] == [EventKind.KNOCK] * 3
    assert [start_s for _, start_s in found] == pytest.approx(GROUPS_S, abs=0.1)


@pytest.mark.parametrize("rate_hz", [5.0, 10.0, 20.0, 80.0])
def test_spikes_of_one_reading_in_twenty_are_no_touch_once_they_are_known(
    rate_hz: float,
) -> None:
    chance, estimator, claims = Random(5), Estimator(), []
    for number in range(round(240 * rate_hz)):
        t_s, grams = number / rate_hz, chance.gauss(0.0, 0.05)
        if chance.random() < 0.05:
            grams += chance.choice((-1, 1)) * 2.0 * 100.0 ** chance.random()
        estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 2)))
        if estimate.disturbance is not None and t_s > 5.0:
            claims.append(t_s)
    assert claims == []


def test_a_blow_is_a_touch_where_spikes_are_frequent_too() -> None:
    chance, estimator = Random(6), Estimator()
    for number in range(1600):
        t_s, grams = number / 20.0, chance.gauss(0.0, 0.05)
        if number % 25 == 7:
            grams += chance.choice((-1, 1)) * chance.uniform(5, 80)
        grams += 30.0 if 60.0 <= t_s < 60.3 else 0.0
        estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 2)))
    knocks = [one.start_s for one in estimate.events if one.kind is EventKind.KNOCK]
    assert knocks == pytest.approx([60.0], abs=0.1)


@pytest.mark.parametrize("first", [25, 50, 110])
@pytest.mark.parametrize("rate_hz", [5.0, 10.0])
@pytest.mark.parametrize("group_g", [(6.0, 0.0, -15.0), (-12.0, 120.0), (30.0, 21.0)])
def test_the_first_two_spikes_of_a_converter_are_no_touch_though_they_come_together(
    rate_hz: float, group_g: tuple[float, ...], first: int
) -> None:
    chance, estimator, claims = Random(4), Estimator(), []
    for number in range(first + 70):
        grams = chance.gauss(0.0, 0.05)
        if 0 <= number - first < len(group_g):
            grams += group_g[number - first]
        estimate = estimator.feed(Reading(round(number / rate_hz + 0.01, 4), round(grams, 2)))
        if estimate.disturbance is not None:
            claims.append(estimate.t_s)
    assert claims == []
    assert {event.kind for event in estimate.events} == {EventKind.SPIKE}


@pytest.mark.parametrize("group_g", [(68.0, -63.0), (-45.0, 0.0, -30.0), (40.0, 38.0)])
@pytest.mark.parametrize("number", range(815, 850, 5))
def test_two_spikes_under_a_pour_that_may_as_well_be_a_vessel_are_no_touch(
    group_g: tuple[float, ...], number: int
) -> None:
    chance, estimator, claims = Random(number), Estimator(), []
    for place in range(900):
        grams = chance.gauss(0.0, 0.09) + min(max(place - 800, 0) * 0.625, 40.0)
        if place % 16 == 7 and place < 800:
            grams += chance.choice((-1, 1)) * chance.uniform(5, 80)
        if 0 <= place - number < len(group_g):
            grams += group_g[place - number]
        estimate = estimator.feed(Reading(round(place / 8.0 + 0.01, 4), round(grams, 1)))
        if estimate.disturbance is not None:
            claims.append(estimate.t_s)
    assert claims == []


@pytest.mark.parametrize(("clean", "explained"), [(2, True), (0, False)])
def test_readings_in_between_that_show_the_weight_speak_for_spikes(
    clean: int, explained: bool
) -> None:
    """Fifty readings a second, one in thirty-five a spike: four of them one after the other come
    once in some hundred brews; a fifth just before, and clean ones in between, make no touch of
    them."""
    watch = SpikeWatch(0.0)
    watch.learn([float(place) for place in range(115)], [1] * 115)
    sides = (1, *(0,) * clean, 1, -1, -1, -1)
    times_s = [80.0 + place / 50.0 for place in range(len(sides))]
    assert watch.explain(times_s, sides) is explained


@pytest.mark.parametrize("spike_g", [-180.0, 90.0])
@pytest.mark.parametrize(
    ("rate_hz", "begins_s", "spike_s"),
    [(5.0, 6.2, 7.0), (8.0, 6.8, 7.25), (10.0, 6.4, 7.0), (10.0, 6.7, 7.25)],
)
def test_the_first_spike_of_a_converter_in_the_first_water_is_no_touch(
    rate_hz: float, begins_s: float, spike_s: float, spike_g: float
) -> None:
    """What ran before it is looked at again, and what runs after it lies off the rest as well."""
    chance, estimator, claims = Random(7), Estimator(), []
    for number in range(round(10.0 * rate_hz)):
        t_s = number / rate_hz
        grams = 4.6 * max(t_s - begins_s, 0.0) + chance.gauss(0.0, 0.03)
        if number == round(spike_s * rate_hz):
            grams = spike_g
        estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 1)))
        if estimate.disturbance is not None:
            claims.append(estimate.t_s)
    assert claims == []


@pytest.mark.parametrize("makes_spikes", [False, True])
def test_a_shaken_platform_is_touched_though_not_every_reading_lies_far_off(
    makes_spikes: bool,
) -> None:
    chance, estimator = Random(4), Estimator()
    shaken_g = (9.0, 0.3, -12.0, 6.0, 0.2, 14.0, -8.0)
    for number in range(400):
        grams = chance.gauss(0.0, 0.05)
        if makes_spikes and number % 60 == 7 and number < 300:
            grams += 40.0
        if 0 <= number - 330 < len(shaken_g):
            grams += shaken_g[number - 330]
        estimate = estimator.feed(Reading(round(number / 10.0 + 0.01, 4), round(grams, 2)))
    kinds = {event.kind for event in estimate.events if event.start_s > 32.0}
    assert kinds == {EventKind.KNOCK}


@pytest.mark.parametrize("rate_hz", [5.0, 10.0, 40.0])
def test_a_blow_that_lasts_is_a_touch_before_the_converter_is_known(rate_hz: float) -> None:
    chance, estimator = Random(4), Estimator()
    for number in range(round(12.0 * rate_hz)):
        t_s, grams = number / rate_hz, chance.gauss(0.0, 0.05)
        grams += 30.0 if 5.0 <= t_s < 5.0 + 3.2 / min(rate_hz, 16.0) else 0.0
        estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 2)))
    assert [event.kind for event in estimate.events] == [EventKind.KNOCK]


@pytest.mark.parametrize(
    ("clean_s", "sides", "spikes"),
    [
        (23.0, (1, -1), True),
        (27.0, (1, -1), False),
        (17.5, (1, 1), True),
        (21.0, (1, 1), False),
        (23.0, (1, 0, 0, -1), True),
        (27.0, (1, 0, 0, -1), False),
        (100.0, (1,), True),
        (100.0, (0, -1, 0, 0), True),
        (3.0, (1, -1, 1), True),
        (9.0, (1, -1, 1), False),
    ],
)
def test_the_longer_a_converter_has_made_no_spike_the_rather_a_group_is_a_touch(
    clean_s: float, sides: tuple[int, ...], spikes: bool
) -> None:
    watch = SpikeWatch(5.0)
    times_s = [5.0 + clean_s + place / 10.0 for place in range(len(sides))]
    assert watch.explain(times_s, sides) is spikes


@pytest.mark.parametrize(
    ("known", "sides", "spikes"),
    [
        (20, (1, -1, 1), True),
        (20, (1, 1, 1), True),
        (20, (1, -1, 1, -1), False),
        (60, (1, -1, 1, -1), True),
        (60, (1, 1, 1, 1), True),
        (60, (1, -1, 1, -1, 1), False),
        (6, (1, -1, 1), False),
        (6, (1, 1), True),
    ],
)
def test_the_more_spikes_a_converter_makes_the_more_of_them_come_together(
    known: int, sides: tuple[int, ...], spikes: bool
) -> None:
    """In two minutes, at ten readings a second."""
    watch, old = SpikeWatch(0.0), SpikeWatch(0.0)
    watch.learn([100.0 + place for place in range(known)], [1] * known)
    old.learn([place / 10.0 for place in range(known)], [1] * known)
    times_s = [200.0 + place / 10.0 for place in range(len(sides))]
    assert watch.explain(times_s, sides) is spikes
    assert not old.explain(times_s, (1, -1)), "those of more than two minutes ago do not count"


@pytest.mark.parametrize(("swing_g", "swing_hz"), [(1.3, 2.5), (0.8, 4.0)])
def test_water_that_swings_as_it_stops_is_no_touch_beside_a_spike(
    swing_g: float, swing_hz: float
) -> None:
    claims, kinds = [], set()
    for seed in range(2):
        chance, estimator = Random(seed), Estimator()
        for number in range(1100):
            t_s = number / 100.0
            grams = 5.0 * min(max(t_s - 4.0, 0.0), 4.0) + chance.gauss(0.0, 0.03)
            if t_s > 8.0:
                swings = cos(2.0 * pi * swing_hz * (t_s - 8.0))
                grams += swing_g * exp(-(t_s - 8.0) / 0.5) * swings
            if number % 23 == 9:
                grams += chance.choice((-1, 1)) * chance.uniform(3, 60)
            estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 2)))
            if estimate.disturbance is not None and t_s > 5.0:
                claims.append((seed, t_s))
        kinds |= {event.kind for event in estimate.events}
    assert claims == []
    assert kinds == {EventKind.SPIKE}


@pytest.mark.parametrize("spike_g", [2.2, 2.6])
@pytest.mark.parametrize("after", [2, 3])
def test_a_spike_just_after_the_water_has_stopped_is_no_hand_that_let_go(
    spike_g: float, after: int
) -> None:
    for seed in (0, 2):
        chance, estimator, claims = Random(seed), Estimator(), []
        for number in range(200):
            t_s = number / 10.0
            grams = 6.5 * min(max(t_s - 5.0, 0.0), 8.0) + chance.gauss(0.0, 0.1)
            grams += {20: 30.0, 30: 30.0, 60: 30.0, 95: 30.0, 130 + after: spike_g}.get(number, 0.0)
            estimate = estimator.feed(Reading(round(t_s + 0.01, 4), round(grams, 1)))
            if estimate.disturbance is not None:
                claims.append(t_s)
        assert claims == []
        assert estimate.mass_g == pytest.approx(52.0, abs=0.3)


@pytest.mark.parametrize("readings", [1_200, 20_000])
def test_a_touch_of_thousands_of_readings_is_one(readings: int) -> None:
    """Every other one lies far off: there are more ways to choose them than a float holds."""
    times_s = [60.0 + one / 80.0 for one in range(readings)]
    sides = [(-1) ** (one // 2) if one % 2 == 0 else 0 for one in range(readings)]
    sides[-1] = 1
    assert not SpikeWatch(0.0).explain(times_s, sides)
