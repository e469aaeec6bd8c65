import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.temperature.kettle_loss import KettleLoss, fit_kettle_loss
from pourcoach.domain.errors import UsageError


def test_the_fit_goes_through_both_readings() -> None:
    loss = fit_kettle_loss(kettle_c=96.0, bed_c=91.0, room_c=22.0)
    assert loss.keeps == pytest.approx(69.0 / 74.0)
    assert loss.bed_c(96.0) == pytest.approx(91.0)
    assert loss.kettle_c(91.0) == pytest.approx(96.0)


@given(st.floats(0.05, 1.0), st.floats(0.0, 40.0), st.floats(50.0, 99.0))
def test_kettle_and_bed_round_trip(keeps: float, room_c: float, kettle_c: float) -> None:
    loss = KettleLoss(keeps, room_c)
    assert loss.kettle_c(loss.bed_c(kettle_c)) == pytest.approx(kettle_c, abs=1e-6)
    assert loss.bed_c(kettle_c) <= kettle_c


@pytest.mark.parametrize(
    ("kettle_c", "bed_c", "room_c"), [(90.0, 91.0, 20.0), (96.0, 20.0, 22.0), (96.0, 22.0, 22.0)]
)
def test_readings_that_do_not_fall_are_refused(
    kettle_c: float, bed_c: float, room_c: float
) -> None:
    with pytest.raises(UsageError, match="do not fall"):
        fit_kettle_loss(kettle_c, bed_c, room_c)


def test_a_loss_that_no_pour_has_is_refused() -> None:
    """36 of 74 degrees gone asked for a kettle of 156.9 °C, and that was then called no brewing
    temperature."""
    with pytest.raises(UsageError, match="more than a pour loses"):
        fit_kettle_loss(kettle_c=96.0, bed_c=55.0, room_c=22.0)
    assert fit_kettle_loss(kettle_c=96.0, bed_c=62.0, room_c=22.0).keeps == pytest.approx(40 / 74)
