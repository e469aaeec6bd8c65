import pytest
from hypothesis import given
from hypothesis import strategies as st
from iapws import IAPWS97

from pourcoach.brewing.temperature.water_properties import (
    density_kg_per_m3,
    mass_g,
    volume_ml,
)
from pourcoach.domain.errors import UsageError

ATMOSPHERE_MPA = 0.101325


# IAPWS-IF97 at 101 325 Pa, computed with the iapws package.
@pytest.mark.parametrize(
    ("temperature_c", "density"),
    [
        (20, 998.206),
        (25, 997.048),
        (80, 971.803),
        (85, 968.622),
        (90, 965.319),
        (92, 963.963),
        (93, 963.279),
        (94, 962.589),
        (96, 961.196),
    ],
)
def test_density_table(temperature_c: float, density: float) -> None:
    assert density_kg_per_m3(temperature_c) == pytest.approx(density, abs=0.03)


@pytest.mark.parametrize("temperature_c", range(1, 100))
def test_density_agrees_with_if97(temperature_c: int) -> None:
    expected = IAPWS97(T=temperature_c + 273.15, P=ATMOSPHERE_MPA).rho
    assert density_kg_per_m3(temperature_c) == pytest.approx(expected, abs=0.03)


# Chaplin, "Water properties" (London South Bank University): 80, 90 and 100 °C.
@pytest.mark.parametrize(("temperature_c", "density"), [(80, 971.8), (90, 965.4), (100, 958.4)])
def test_density_of_an_outside_table(temperature_c: float, density: float) -> None:
    assert density_kg_per_m3(temperature_c) == pytest.approx(density, rel=1e-3)


# SCA Brewing Control Chart, March 2019: "1 L = 963 g at 93 °C".
def test_the_control_charts_litre() -> None:
    assert density_kg_per_m3(93.0) == pytest.approx(963.0, abs=0.5)


@given(st.floats(4.1, 99.0), st.floats(0.01, 1.0))
def test_density_falls_with_temperature_above_four_degrees(start_c: float, rise: float) -> None:
    assert density_kg_per_m3(start_c + rise) < density_kg_per_m3(start_c)


@given(st.floats(1.0, 2000.0), st.floats(0.0, 100.0))
def test_mass_and_volume_round_trip(volume: float, temperature_c: float) -> None:
    there = mass_g(volume, temperature_c)
    assert volume_ml(there, temperature_c) == pytest.approx(volume, rel=1e-12)


@pytest.mark.parametrize("temperature_c", [-1.0, 100.1, float("nan")])
def test_ice_and_steam_are_refused(temperature_c: float) -> None:
    with pytest.raises(UsageError, match="not liquid"):
        density_kg_per_m3(temperature_c)


@pytest.mark.parametrize("amount", [-1.0, float("nan"), float("inf")])
def test_no_amount_is_refused(amount: float) -> None:
    with pytest.raises(UsageError, match="no amount"):
        mass_g(amount, 20.0)
    with pytest.raises(UsageError, match="no amount"):
        volume_ml(amount, 20.0)
