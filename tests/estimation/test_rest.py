"""A platform on which nothing happens: followed by its level alone, and nothing is missed by it."""

from itertools import pairwise
from random import Random
from typing import Any

import pytest

from pourcoach.domain.inputs import Reading, Tare
from pourcoach.estimation import tracker
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.rest import Resting

NOISE_G = 0.05
POURS_S = ((20.0, 26.0), (50.0, 58.0))


def _grams(t_s: float, noise: Random, flow_gps: float) -> float:
    poured_s = sum(min(max(t_s - start_s, 0.0), end_s - start_s) for start_s, end_s in POURS_S)
    return round(flow_gps * poured_s + noise.gauss(0.0, NOISE_G), 2)


def _readings(rate_hz: float, seed: int = 1, flow_gps: float = 4.0) -> list[Reading]:
    noise = Random(seed)
    times = [round(n / rate_hz, 4) for n in range(int(75.0 * rate_hz))]
    return [Reading(t_s, _grams(t_s, noise, flow_gps), device_s=t_s) for t_s in times]


def _never_resting(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tracker, "QUIET_TICKS", 10**9)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0, 80.0])
@pytest.mark.parametrize("flow_gps", [1.5, 5.0])
def test_a_pour_is_reported_with_the_same_reading_as_without_it(
    rate_hz: float, flow_gps: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    readings = _readings(rate_hz, flow_gps=flow_gps)

    def changes() -> list[tuple[int, bool]]:
        estimator = Estimator()
        pouring = [estimator.feed(one).pouring for one in readings]
        return [(i, on) for i, on in enumerate(pouring) if i and on is not pouring[i - 1]]

    resting = changes()
    _never_resting(monkeypatch)
    assert resting == changes()
    assert [on for _, on in resting] == [True, False, True, False]


def test_what_is_found_in_hindsight_hardly_moves(monkeypatch: pytest.MonkeyPatch) -> None:
    readings = _readings(80.0)

    def pours() -> list[tuple[float, float, float]]:
        estimator = Estimator()
        for one in readings:
            estimator.feed(one)
        found = estimator.close(75.0).pours
        return [(p.start_s, p.end_s or 0.0, p.mass_g or 0.0) for p in found]

    resting = pours()
    _never_resting(monkeypatch)
    for one, other in zip(resting, pours(), strict=True):
        assert one == pytest.approx(other, abs=0.01)


def test_the_level_is_followed_and_settled_values_go_on() -> None:
    estimator = Estimator()
    estimates = [estimator.feed(one) for one in _readings(80.0)[: 80 * 19]]
    late = estimates[80 * 5 :]
    assert all(abs(one.mass_g) < 0.06 and one.flow_gps == 0.0 for one in late[80 * 2 :])
    settled = [one.settled.t_s for one in late if one.settled is not None]
    assert all(0.0 < after - before <= 0.55 for before, after in pairwise(settled))
    assert len(settled) > 25


def test_a_tare_in_it_is_shown_at_once() -> None:
    estimator = Estimator()
    for n in range(200):
        estimator.feed(Reading(n / 10, 300.0))
    assert estimator.feed(Reading(20.0, 300.0)).mass_g == pytest.approx(300.0, abs=0.01)
    assert estimator.feed(Tare(20.0)).mass_g == pytest.approx(0.0, abs=0.01)
    assert estimator.feed(Reading(20.1, 300.0)).mass_g == pytest.approx(0.0, abs=0.01)


def test_a_reading_held_back_and_the_next_of_the_same_millisecond_are_one() -> None:
    estimator = Estimator()
    noise = Random(3)
    for n in range(100):
        t_s = n / 20
        grams = round(5.0 * max(0.0, t_s - 2.0) + noise.gauss(0.0, 0.01), 2)
        estimator.feed(Reading(t_s, grams, device_s=t_s))
    estimator.feed(Reading(6.5, grams, device_s=6.5))
    estimate = estimator.feed(Reading(6.5004, grams + 0.1, device_s=6.5004))
    assert estimate.mass_g > 14.0


def _flows_as_water_begins(rate_hz: float, seed: int) -> list[float]:
    """Shown in the first 0.6 s of a ramp to 5 g/s, on a noisy scale."""
    noise, estimator, shown = Random(seed), Estimator(), []
    start_s = 10.0 + noise.random()
    for n in range(int((start_s + 0.6) * rate_hz)):
        t_s = round(n / rate_hz, 4)
        runs_s = max(t_s - start_s, 0.0)
        grams = 5.0 * (runs_s**2 if runs_s < 0.5 else runs_s - 0.25) + noise.gauss(0.0, 0.15)
        flow_gps = estimator.feed(Reading(t_s, round(grams, 2), device_s=t_s)).flow_gps
        if t_s > start_s:
            shown.append(flow_gps)
    return shown


@pytest.mark.parametrize(("rate_hz", "most_gps"), [(10.0, 0.65), (20.0, 0.5), (80.0, 0.27)])
def test_the_first_flow_is_shown_as_soon_as_without_it(
    rate_hz: float, most_gps: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Until the rest is over the flow is shown as nothing: looked at four deviations away as well,
    above the level and below it, a slow scale showed the first water a reading later."""
    resting = [_flows_as_water_begins(rate_hz, seed) for seed in range(16)]
    _never_resting(monkeypatch)
    squares = [
        (one - other) ** 2
        for seed, shown in enumerate(resting)
        for one, other in zip(shown, _flows_as_water_begins(rate_hz, seed), strict=True)
    ]
    assert (sum(squares) / len(squares)) ** 0.5 < most_gps


def test_noise_alone_seldom_breaks_it_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """All models go through two seconds of readings each time."""
    begun: list[float] = []

    class Counted(Resting):
        def __init__(self, *given: Any) -> None:
            super().__init__(*given)
            begun.append(self.ticks / 1000.0)

    monkeypatch.setattr(tracker, "Resting", Counted)
    noise, estimator = Random(8), Estimator()
    for n in range(80 * 900):
        t_s = round(n / 80.0, 4)
        estimator.feed(Reading(t_s, round(noise.gauss(0.0, NOISE_G), 2), device_s=t_s))
    assert len(begun) < 12
