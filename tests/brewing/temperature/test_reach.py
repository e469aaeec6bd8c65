import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.temperature.kettle_loss import KettleLoss
from pourcoach.brewing.temperature.reach import (
    Reach,
    best_bed_c,
    place_at_altitude,
    place_at_pressure,
    reach,
    refuse_kettle,
    refuse_temperature,
)
from pourcoach.domain.errors import UsageError


# Boiling points by the standard atmosphere and IAPWS-IF97: which of 90-96 °C can be had.
@pytest.mark.parametrize(
    ("altitude_m", "can", "cannot"),
    [
        (0, 96, 100),
        (500, 96, 99),
        (1000, 96, 97),
        (1500, 94, 96),
        (2000, 93, 94),
        (2500, 91, 92),
        (3000, 89, 90),
        (4000, 86, 90),
    ],
)
def test_by_altitude(altitude_m: float, can: float, cannot: float) -> None:
    place = place_at_altitude(altitude_m)
    assert reach(can, place) in (Reach.YES, Reach.JUST)
    assert reach(cannot, place) in (Reach.SELDOM, Reach.NO)


def test_close_to_boiling_the_weather_decides() -> None:
    # 2000 m: boils at 93.3 °C, at 92.5 °C with 3 % less pressure and at 94.1 °C with 3 % more.
    place = place_at_altitude(2000)
    assert place.boils_low_c == pytest.approx(place.boils_c - 0.8, abs=0.05)
    assert place.boils_high_c == pytest.approx(place.boils_c + 0.8, abs=0.05)
    reached = [reach(aim, place) for aim in (92.0, 93.0, 94.0, 94.5)]
    assert reached == [Reach.YES, Reach.JUST, Reach.SELDOM, Reach.NO]


def test_a_measured_pressure_leaves_no_weather() -> None:
    place = place_at_pressure(79_501)
    assert place.boils_low_c == place.boils_c == place.boils_high_c
    assert place.boils_c == pytest.approx(93.317, abs=0.001)
    assert (reach(93.0, place), reach(93.5, place)) == (Reach.YES, Reach.NO)


@given(st.floats(0.0, 8000.0), st.floats(0.3, 1.0), st.floats(0.0, 35.0))
def test_the_bed_never_gets_more_than_the_kettle(
    altitude_m: float, keeps: float, room_c: float
) -> None:
    place = place_at_altitude(altitude_m)
    assert best_bed_c(place, KettleLoss(keeps, room_c)) <= place.boils_c + 1e-9


@pytest.mark.parametrize("temperature_c", [-1.0, 101.0, 200.0, float("nan")])
def test_no_brewing_temperature_is_refused(temperature_c: float) -> None:
    with pytest.raises(UsageError, match="no brewing temperature"):
        refuse_temperature(temperature_c)


def test_a_kettle_hotter_than_water_can_be_there_is_refused() -> None:
    """99 °C was taken at 3000 m, where water boils at 90 °C."""
    high = place_at_altitude(3000)
    with pytest.raises(UsageError, match=r"a kettle of 99 °C cannot be where water boils at 90\.0"):
        refuse_kettle(99.0, high)
    # Within the weather and the thermometer's own error nothing is said.
    refuse_kettle(91.0, high)
    refuse_kettle(100.5, place_at_altitude(0))


def test_at_the_lowest_shore_a_high_day_stays_within_what_is_known() -> None:
    assert place_at_altitude(-430).boils_high_c > 101.0
