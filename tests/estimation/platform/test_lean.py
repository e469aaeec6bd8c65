"""A weight that falls slowly is no water."""

import pytest

from pourcoach.estimation.platform.lean import LeanWatch


def seen(weight, until_s=20.0) -> list[float]:
    watch = LeanWatch(0.0, weight(0.0))
    times = [0.1 * i for i in range(1, int(until_s * 10))]
    return [t for t in times if watch.see(t, weight(t))]


def test_a_slow_fall_is_a_lean_until_it_rests():
    told = seen(lambda t: 5.0 * max(min(t - 4.0, 1.0, 8.0 - t), 0.0))
    assert told[0] == pytest.approx(7.7, abs=0.2)
    assert told[-1] == pytest.approx(9.0, abs=0.3)


def test_a_lean_is_over_while_water_runs_on():
    told = seen(lambda t: 6.0 * t + 20.0 * max(min(t - 4.0, 1.0, (8.0 - t) / 2.0), 0.0))
    assert told[-1] == pytest.approx(9.0, abs=0.3)


@pytest.mark.parametrize(
    "weight",
    [lambda t: 6.0 * t, lambda t: 100.0 - 0.02 * t, lambda t: 40.0 + 0.9 * (int(5 * t) % 2)],
    ids=["a pour", "evaporation", "slosh"],
)
def test_what_is_none_is_not_called_one(weight):
    assert seen(weight) == []
