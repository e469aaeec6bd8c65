import pytest

from pourcoach.simulation.jet import STANDARD_GRAVITY, Jet
from pourcoach.simulation.ticks import TICK_S


def test_water_falls_as_long_as_galileo_says() -> None:
    assert Jet(0.08, 0.0).fall_s == pytest.approx((2 * 0.08 / STANDARD_GRAVITY) ** 0.5)


def test_what_leaves_the_spout_lands_a_fall_later() -> None:
    jet = Jet(0.08, 0.0)
    landed = [jet.step(6.0 if tick < 100 else 0.0) * TICK_S for tick in range(200)]
    assert sum(landed) == pytest.approx(6.0 * 100 * TICK_S)
    first_s = next(tick for tick, grams in enumerate(landed) if grams) * TICK_S
    assert first_s == pytest.approx(jet.fall_s, abs=TICK_S)
    assert jet.in_flight_g == pytest.approx(0, abs=1e-12)


def test_the_push_of_a_free_fall_is_the_weight_of_what_is_in_flight() -> None:
    jet = Jet(0.08, 0.0)
    for _ in range(100):
        jet.step(6.0)
    assert jet.push_g == pytest.approx(jet.in_flight_g, rel=1e-9)
    assert jet.push_g == pytest.approx(6.0 * jet.fall_s, rel=1e-9)
