from random import Random
from statistics import correlation, fmean, pstdev

import pytest

from pourcoach.simulation.scale.drumming import Drumming
from pourcoach.simulation.ticks import TICK_S


def drummed(flow_gps: float, drumming_s: float = 0.024) -> list[float]:
    drumming = Drumming(drumming_s, Random(1))
    return [drumming.step(flow_gps) for _ in range(40_000)]


def test_a_reading_is_as_noisy_as_ordered_for_its_flow() -> None:
    chance, felt = Random(2), drummed(5.0)
    readings = []
    for tick in range(0, len(felt) - 1, 20):
        share = chance.random()
        readings.append(felt[tick] + share * (felt[tick + 1] - felt[tick]))
    assert pstdev(readings) == pytest.approx(0.024 * 5.0, rel=0.05)
    assert fmean(readings) == pytest.approx(0, abs=0.01)


def test_it_hangs_together_over_25_ms() -> None:
    felt, later = drummed(5.0), round(0.025 / TICK_S)
    assert correlation(felt[:-later], felt[later:]) == pytest.approx(0.368, abs=0.03)


def test_no_water_no_drumming() -> None:
    assert set(drummed(0.0)) == {0.0}
    assert set(drummed(5.0, drumming_s=0.0)) == {0.0}
