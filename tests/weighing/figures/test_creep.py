import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.weighing.figures.creep import creep, zero_return
from pourcoach.weighing.loads.verification import Yardstick
from tests.weighing.readings import readings

NEW = Yardstick(0.1, 1000.0)


def rising(total_g: float, from_s: float = 0.0):
    return lambda t: 500 + total_g * max(0.0, t - from_s) / (1800 - from_s)


# Within 0.5 e over 30 min and 0.2 e from 15 to 30 min (e = 0.1 g).
RUNS = [
    (rising(0.03), True),
    (rising(0.06), False),
    (rising(-0.06), False),
    (rising(0.025, 900), False),
    (rising(0.018, 900), True),
]


@pytest.mark.parametrize(("grams", "within"), RUNS)
def test_a_whole_run_is_held_to_both_limits(grams, within):
    found = creep(readings(1800, grams, hz=2, noise_g=0.003), NEW)
    assert found.whole
    assert found.within is within


def test_a_short_run_says_how_far_it_went():
    found = creep(readings(240, lambda t: 500 + 0.04 * t / 240, hz=10, noise_g=0.01), NEW)
    assert not found.whole
    assert found.late_g is None
    assert found.span_s == pytest.approx(240, abs=0.2)
    assert found.change_g == pytest.approx(0.04 * 235 / 240, abs=0.006)


def test_too_short_a_run_is_refused():
    with pytest.raises(UsageError, match="too short"):
        creep(readings(4, 500.0), NEW)


@pytest.mark.parametrize(("after_g", "within"), [(0.149, True), (0.151, False), (0.049, False)])
def test_zero_comes_back_to_half_an_interval(after_g, within):
    assert zero_return(0.1, after_g, NEW).within is within
