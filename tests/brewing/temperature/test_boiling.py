import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from pourcoach.brewing.temperature.boiling import (
    boiling_point_c,
    saturation_temperature_k,
    standard_pressure_pa,
)
from pourcoach.domain.errors import UsageError


# IAPWS-IF97 (2007), verification table of the saturation-temperature equation.
@pytest.mark.parametrize(
    ("pressure_mpa", "temperature_k"), [(0.1, 372.755919), (1.0, 453.035632), (10.0, 584.149488)]
)
def test_if97_verification_values(pressure_mpa: float, temperature_k: float) -> None:
    assert saturation_temperature_k(pressure_mpa * 1e6) == pytest.approx(temperature_k, abs=1e-6)


# IAPWS-IF97, verification table of the saturation-pressure equation, read backwards.
@pytest.mark.parametrize(
    ("temperature_k", "pressure_mpa"),
    [(300.0, 0.00353658941), (500.0, 2.63889776), (600.0, 12.3443146)],
)
def test_if97_saturation_pressures_read_backwards(
    temperature_k: float, pressure_mpa: float
) -> None:
    assert saturation_temperature_k(pressure_mpa * 1e6) == pytest.approx(temperature_k, abs=1e-5)


@given(st.floats(28_000.0, 110_000.0))
def test_boiling_point_agrees_with_the_iapws_package(pressure_pa: float) -> None:
    expected = IAPWS97(P=pressure_pa / 1e6, x=0).T - 273.15
    assert boiling_point_c(pressure_pa) == pytest.approx(expected, abs=1e-9)


# Computed with the ambiance (standard atmosphere) and iapws packages.
@pytest.mark.parametrize(
    ("altitude_m", "pressure_pa", "boils_c"),
    [
        (0, 101325, 99.974),
        (500, 95461, 98.313),
        (1000, 89876, 96.649),
        (1500, 84560, 94.984),
        (2000, 79501, 93.317),
        (2500, 74692, 91.648),
        (3000, 70121, 89.977),
        (4000, 61660, 86.628),
    ],
)
def test_boiling_point_by_altitude(altitude_m: float, pressure_pa: float, boils_c: float) -> None:
    assert standard_pressure_pa(altitude_m) == pytest.approx(pressure_pa, abs=0.6)
    assert boiling_point_c(standard_pressure_pa(altitude_m)) == pytest.approx(boils_c, abs=0.002)


# The standard atmosphere as meteowvl.be prints it (MetInfo/StandAtmosfeer).
@pytest.mark.parametrize(
    ("altitude_m", "pressure_hpa"),
    [(540, 950), (988, 900), (1457, 850), (1949, 800), (3012, 700)],
)
def test_standard_atmosphere_against_an_outside_table(
    altitude_m: float, pressure_hpa: float
) -> None:
    assert standard_pressure_pa(altitude_m) / 100 == pytest.approx(pressure_hpa, abs=0.2)


def test_the_closed_form_differs_by_its_known_amount() -> None:
    closed_form = 101325 * (1 - 2.25577e-5 * 3000) ** 5.25588
    assert standard_pressure_pa(3000) - closed_form == pytest.approx(13, abs=1)


def test_the_straight_line_rule_is_wrong_by_its_known_amount() -> None:
    # "100 - 0.00321 h" stands on calculator pages: 0.4 °C too high at 3000 m.
    straight = 100 - 0.00321 * 3000
    assert straight - boiling_point_c(standard_pressure_pa(3000)) == pytest.approx(0.39, abs=0.02)


def test_three_per_cent_of_weather_is_eight_tenths_of_a_degree() -> None:
    sea_level = standard_pressure_pa(0)
    rise = boiling_point_c(sea_level * 1.03) - boiling_point_c(sea_level)
    assert rise == pytest.approx(0.83, abs=0.03)


@given(st.floats(-400.0, 8900.0), st.floats(1.0, 100.0))
def test_the_boiling_point_falls_with_altitude(altitude_m: float, climb_m: float) -> None:
    low = boiling_point_c(standard_pressure_pa(altitude_m))
    assert boiling_point_c(standard_pressure_pa(altitude_m + climb_m)) < low


@pytest.mark.parametrize("altitude_m", [-1000.0, 20000.0, float("nan")])
def test_impossible_altitudes_are_refused(altitude_m: float) -> None:
    with pytest.raises(UsageError, match="nobody brews"):
        standard_pressure_pa(altitude_m)


@pytest.mark.parametrize("pressure_pa", [1013.25, 0.0, float("nan"), 1.2e5])
def test_impossible_pressures_are_refused(pressure_pa: float) -> None:
    with pytest.raises(UsageError, match="station pressure in hPa"):
        boiling_point_c(pressure_pa)
