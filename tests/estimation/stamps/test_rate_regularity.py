"""A scale that weighs at an uneven beat is distinguished from one whose readings arrive late."""

import numpy as np
import pytest

from pourcoach.estimation.stamps.rate_regularity import EVERY, SOONER, RateRegularity

SECONDS = 60


def steady_after(arrivals) -> bool:
    beat = RateRegularity()
    for arrival_s in arrivals:
        beat.see(float(arrival_s))
    return beat.steady


@pytest.mark.parametrize("rate_hz", [5.0, 10.0, 20.0, 50.0])
@pytest.mark.parametrize("strays", [0.2, 0.4])
def test_an_uneven_beat_is_found(rate_hz, strays):
    rng = np.random.default_rng(3)
    intervals = rng.uniform(1.0 - strays, 1.0 + strays, int(SECONDS * rate_hz)) / rate_hz
    assert not steady_after(np.cumsum(intervals))


@pytest.mark.parametrize("rate_hz", [5.0, 10.0, 20.0, 50.0])
@pytest.mark.parametrize("late_s", [0.003, 0.01, 0.03])
@pytest.mark.parametrize("lost", [0.0, 0.02])
def test_late_and_lost_readings_are_no_uneven_beat(rate_hz, late_s, lost):
    for seed in range(12):
        rng = np.random.default_rng(seed)
        weighed = np.arange(int(SECONDS * rate_hz)) / rate_hz
        arrivals = np.maximum.accumulate(weighed + rng.exponential(late_s, len(weighed)))
        assert steady_after(arrivals[rng.random(len(arrivals)) >= lost])


@pytest.mark.parametrize("burst_s", [0.03, 0.05, 0.07, 0.13, 0.2])
def test_bursts_are_no_uneven_beat(burst_s):
    assert steady_after(np.ceil((np.arange(600) / 10.0 + 0.001) / burst_s) * burst_s)


@pytest.mark.parametrize("packet", [1, 3])
def test_the_beat_is_known_where_a_fifth_of_it_is_lost(packet):
    rng = np.random.default_rng(5)
    arrivals = np.arange(600) / 10.0 + rng.exponential(0.005, 600)
    kept = np.repeat(rng.random(600 // packet) >= 0.2, packet)
    beat = RateRegularity()
    for arrival_s in arrivals[kept]:
        beat.see(float(arrival_s))
    assert beat.lossy_s == pytest.approx(0.1, rel=0.01)


def test_bursts_are_no_losses():
    beat = RateRegularity()
    for number in range(600):
        beat.see(0.15 * (number // 3))
    assert beat.lossy_s is None


def test_a_beat_that_has_become_even_again_is_steady():
    """Judged by the newest intervals alone."""
    rng = np.random.default_rng(3)
    uneven = np.cumsum(rng.uniform(0.06, 0.14, 600))
    even = uneven[-1] + 0.1 * np.arange(1, 401)
    assert not steady_after(uneven)
    assert steady_after([*uneven, *even])


def test_too_few_runs_without_a_loss_judge_nothing():
    """A loss breaks the runs, and what is left leaves it steady, as it was taken to be."""
    intervals = np.random.default_rng(9).uniform(0.06, 0.14, EVERY)
    assert not steady_after(np.cumsum([0.1, *intervals]))
    intervals[EVERY // 2] *= 3.0
    assert steady_after(np.cumsum([0.1, *intervals]))


def test_it_says_when_it_has_judged_anew():
    beat = RateRegularity()
    judged = [number for number in range(3 * EVERY + 1) if beat.see(0.1 * number)]
    assert judged == [*SOONER, EVERY, 2 * EVERY, 3 * EVERY]


@pytest.mark.parametrize(
    ("lost", "jitter_s", "counted"),
    [
        ((120,), 0.0, False),
        ((120, 160), 0.0, True),
        ((120, 160), 0.02, False),
        (range(20, 250, 8), 0.015, True),
        (range(20, 250, 8), 0.04, False),
    ],
)
def test_losses_are_counted_where_enough_of_them_show(lost, jitter_s, counted):
    """Of 25 s at 10 Hz: few where arrivals keep the beat, more where they are late."""
    beat = RateRegularity()
    late_s = np.random.default_rng(0).exponential(jitter_s, 250)
    for number, arrival_s in enumerate(np.maximum.accumulate(np.arange(250) / 10.0 + late_s)):
        if number not in lost:
            beat.see(float(arrival_s))
    assert beat.lossy_s == (pytest.approx(0.1, rel=0.03) if counted else None)


@pytest.mark.parametrize(("each", "jitter_s", "lossy"), [(250, 0.045, False), (5, 0.045, True)])
def test_losses_that_cannot_be_counted_are_known_of(each, jitter_s, lossy):
    beat = RateRegularity()
    late_s = np.random.default_rng(0).exponential(jitter_s, 250)
    for number, arrival_s in enumerate(np.maximum.accumulate(np.arange(250) / 10.0 + late_s)):
        if number % each:
            beat.see(float(arrival_s))
    assert beat.lossy_s is None
    assert beat.uncountable == lossy


def test_a_few_late_readings_are_no_losses():
    """Delays of 30 ms on average at 10 Hz, where few readings have come."""
    found = []
    for seed in range(100):
        regularity, late_s = RateRegularity(), np.random.default_rng(seed).exponential(0.03, 64)
        for arrival_s in np.maximum.accumulate(np.arange(64) / 10.0 + late_s):
            regularity.see(float(arrival_s))
            found.append(regularity.lossy_s)
    assert not any(found)
