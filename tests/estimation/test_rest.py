"""A platform on which nothing happens: followed by its level alone, and nothing is missed by it."""

from itertools import pairwise
from random import Random

import pytest

from pourcoach.domain.inputs import Reading, Tare
from pourcoach.estimation import tracker
from pourcoach.estimation.estimator import Estimator

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
