import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.temperature.bands import (
    CERTIFICATION_FLOOR_C,
    CONTACT_BAND_C,
    CONTACT_BAND_F,
    NO_FAULT_BAND_C,
    celsius,
    fahrenheit,
)


# Exact by definition: C = (F - 32) / 1.8.
@pytest.mark.parametrize(
    ("in_f", "in_c"),
    [
        (195.0, 163.0 / 1.8),
        (200.0, 168.0 / 1.8),
        (205.0, 173.0 / 1.8),
        (212.0, 100.0),
        (-40.0, -40.0),
    ],
)
def test_conversion(in_f: float, in_c: float) -> None:
    assert celsius(in_f) == pytest.approx(in_c, abs=1e-9)
    assert fahrenheit(in_c) == pytest.approx(in_f, abs=1e-9)


# The older trade band of 198-202 °F (from memory), converted.
def test_the_older_band() -> None:
    assert (celsius(198.0), celsius(202.0)) == pytest.approx((92.22, 94.44), abs=0.01)


@given(st.floats(-100.0, 300.0))
def test_round_trip(temperature_c: float) -> None:
    assert celsius(fahrenheit(temperature_c)) == pytest.approx(temperature_c, abs=1e-9)


# SCAA Golden Cup Standard, 23 December 2015; Batali, Ristenpart & Guinard 2020, Sci Rep 10.
def test_published_bands_stand_as_published() -> None:
    assert CONTACT_BAND_C == (90.0, 96.0)
    assert CONTACT_BAND_F == (195.0, 205.0)
    assert CERTIFICATION_FLOOR_C == 92.0
    assert NO_FAULT_BAND_C == (87.0, 96.0)


def test_neither_band_is_derived_from_the_other() -> None:
    # 200 °F is 93.33 °C, not the 93.0 °C printed beside it.
    assert celsius(200.0) - sum(CONTACT_BAND_C) / 2 == pytest.approx(0.333, abs=0.001)
    assert tuple(map(celsius, CONTACT_BAND_F)) != pytest.approx(CONTACT_BAND_C, abs=0.05)
