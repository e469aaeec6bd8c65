import random
from dataclasses import replace

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.inputs import Reading
from pourcoach.weighing.figures.pace import pace
from tests.weighing.readings import readings


def test_an_even_beat():
    found = pace(readings(10, 0.0, hz=80))
    assert found.rate_hz == pytest.approx(80)
    assert found.jitter_s == pytest.approx(0.0, abs=1e-9)
    assert found.burst_share == 0.0
    assert not found.stamped
    assert found.missed is None


def test_bursts_of_a_connection_interval():
    """80 a second handed over each 50 ms: three of four come with the one before."""
    even = readings(10, 0.0, hz=80)
    burst = [replace(one, t_s=(number // 4 + 1) * 0.05) for number, one in enumerate(even)]
    found = pace(burst)
    assert found.rate_hz == pytest.approx(80, rel=0.01)
    assert found.burst_share == pytest.approx(0.75, abs=0.01)
    assert found.longest_gap_s == pytest.approx(0.05)
    # Evenly spread over 37.5 ms: that over the root of 12, on a grid of four.
    assert found.jitter_s == pytest.approx(0.0125 * (15 / 12) ** 0.5, rel=0.02)


def test_jitter_is_the_deviation_about_the_beat():
    chance = random.Random(2)
    late = [replace(one, t_s=one.t_s + chance.gauss(0, 0.005)) for one in readings(60, 0.0, hz=10)]
    assert pace(late).jitter_s == pytest.approx(0.005, rel=0.1)


def test_lost_readings_are_counted_and_do_not_slow_the_beat():
    kept = [
        Reading(number / 80, 0.0, 100 + number / 80, number)
        for number in range(800)
        if number % 10 or number == 0
    ]
    found = pace(kept)
    assert found.missed == 79
    assert found.rate_hz == pytest.approx(80)
    assert found.stamped
    assert found.stamp_jitter_s == pytest.approx(0.0, abs=1e-9)


def test_too_few_readings_are_refused():
    with pytest.raises(UsageError, match="too few"):
        pace(readings(1, 0.0, hz=10))
