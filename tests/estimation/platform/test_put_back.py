"""What comes back on a platform on which something else has been set down meanwhile."""

import pytest

from tests.estimation.platform.handled import WATER_G, all_found, followed, push, step


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("knock_g", [-7.0, 7.0])
def test_what_is_back_beside_another_thing_does_not_come_back_once_more(
    rate_hz: float, knock_g: float
) -> None:
    lifted, beside, back = step(20.0, -360.0), step(23.0, 159.0), step(25.5, 359.6)
    estimate = followed(rate_hz, lifted, beside, back, push(44.0, 0.2, 0.3, 0.2, knock_g))
    assert estimate.unbroken_g == pytest.approx(WATER_G, abs=1.5)
    assert sum(event.change_g for event in estimate.events) == pytest.approx(159.0, abs=1.5)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize("beside_g", [20.0, 60.0])
def test_a_thing_set_down_while_the_brewer_is_off_is_no_water_when_it_is_back(
    rate_hz: float, beside_g: float
) -> None:
    lifted, beside, back = step(20.0, -360.0), step(24.0, beside_g), step(28.0, 360.0)
    estimate = followed(rate_hz, lifted, beside, back)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)
    assert sum(event.change_g for event in estimate.events) == pytest.approx(beside_g, abs=1.5)


@pytest.mark.parametrize(
    ("rate_hz", "first_g", "second_g", "third_g"),
    [(10.0, 20.0, 30.0, 15.0), (40.0, 20.0, 20.0, 25.0), (40.0, 35.0, 30.0, 15.0)],
)
def test_what_several_hands_left_is_gone_once_it_rests_where_it_did_before_them(
    rate_hz: float, first_g: float, second_g: float, third_g: float
) -> None:
    hands = (
        push(22.0, 1.0, 3.0, 0.8, first_g),
        push(25.5, 0.6, 1.5, 0.5, second_g),
        push(27.0, 1.0, 3.0, 1.0, third_g),
    )
    estimate = followed(rate_hz, *hands)
    assert all_found(estimate), (estimate.pours, estimate.unbroken_g, estimate.events)


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
def test_what_the_scale_tared_away_does_not_come_back(rate_hz: float) -> None:
    """Another thing brings the reading to about where the load was before the tare."""
    load, tare, thing = step(-1.0, 300.0), step(2.0, -300.0), step(25.0, 250.0)
    estimate = followed(rate_hz, load, tare, thing)
    assert [event.change_g for event in estimate.events] == pytest.approx([-300.0, 250.0], abs=1.5)
    assert [pour.mass_g for pour in estimate.pours] == pytest.approx([40.0, 40.0], abs=1.0)
