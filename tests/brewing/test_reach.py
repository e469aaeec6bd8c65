import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.kettle_loss import KettleLoss
from pourcoach.brewing.reach import (
    Reach,
    best_bed_c,
    place_at_altitude,
    place_at_pressure,
    reach,
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
    assert reach(can, place) is not Reach.NO
    assert reach(cannot, place) is Reach.NO


def test_close_to_boiling_the_weather_decides() -> None:
    # 2000 m: boils at 93.3 °C, and at 92.5 °C with 3 % less pressure.
    place = place_at_altitude(2000)
    assert place.boils_low_c == pytest.approx(place.boils_c - 0.8, abs=0.05)
    assert [reach(aim, place) for aim in (92.0, 93.0, 94.0)] == [Reach.YES, Reach.JUST, Reach.NO]


def test_a_measured_pressure_leaves_no_weather() -> None:
    place = place_at_pressure(79_501)
    assert place.boils_c == place.boils_low_c == pytest.approx(93.317, abs=0.001)
    assert reach(93.0, place) is Reach.YES


@given(st.floats(0.0, 8000.0), st.floats(0.3, 1.0), st.floats(0.0, 35.0))
def test_the_bed_never_gets_more_than_the_kettle(
    altitude_m: float, keeps: float, room_c: float
) -> None:
    place = place_at_altitude(altitude_m)
    assert best_bed_c(place, KettleLoss(keeps, room_c)) <= place.boils_c + 1e-9


@pytest.mark.parametrize("temperature_c", [-1.0, 200.0, float("nan")])
def test_no_brewing_temperature_is_refused(temperature_c: float) -> None:
    with pytest.raises(UsageError, match="no brewing temperature"):
        reach(temperature_c, place_at_altitude(0))
