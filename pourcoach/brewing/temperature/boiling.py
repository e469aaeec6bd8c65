"""Where water boils: pressure by altitude or station, and the boiling point by pressure."""

import math

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Celsius

# ICAO standard atmosphere (ISO 2533), troposphere.
_SEA_LEVEL_PA = 101_325.0
_SEA_LEVEL_K = 288.15
_LAPSE_K_PER_M = 0.0065
_GRAVITY = 9.80665
_AIR_J_PER_KG_K = 287.05287
_EARTH_RADIUS_M = 6_356_766.0
ALTITUDE_M = (-430.0, 9000.0)
"""From the lowest shore to the highest peak."""

PRESSURE_PA = (28_000.0, 110_000.0)
"""Any open kettle on Earth."""
# Weather moves the pressure at one place by about 3 %, and with it the boiling point.
WEATHER_SHARE = 0.03

# IAPWS-IF97 (2007 release), region 4, saturation temperature, equation 31; n1 to n10.
_N = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
_ZERO_C_K = 273.15


def standard_pressure_pa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere at that height above sea level.

    Weather makes the true one differ by about 3 %. Raises UsageError outside -430 to 9000 m.
    """
    if not ALTITUDE_M[0] <= altitude_m <= ALTITUDE_M[1]:
        raise UsageError(
            f"nobody brews at {altitude_m:g} m", f"use {ALTITUDE_M[0]:g} to {ALTITUDE_M[1]:g} m"
        )
    geopotential_m = _EARTH_RADIUS_M * altitude_m / (_EARTH_RADIUS_M + altitude_m)
    temperature_k = _SEA_LEVEL_K - _LAPSE_K_PER_M * geopotential_m
    exponent = _GRAVITY / (_AIR_J_PER_KG_K * _LAPSE_K_PER_M)
    return float(_SEA_LEVEL_PA * (temperature_k / _SEA_LEVEL_K) ** exponent)


def saturation_temperature_k(pressure_pa: float) -> float:
    """IAPWS-IF97 equation 31, valid from 611.213 Pa to 22.064 MPa."""
    beta = math.sqrt(math.sqrt(pressure_pa / 1e6))
    n1, n2, n3, n4, n5, n6, n7, n8, n9, n10 = _N
    e = beta**2 + n3 * beta + n6
    f = n1 * beta**2 + n4 * beta + n7
    g = n2 * beta**2 + n5 * beta + n8
    d = 2.0 * g / (-f - math.sqrt(f**2 - 4.0 * e * g))
    return (n10 + d - math.sqrt((n10 + d) ** 2 - 4.0 * (n9 + n10 * d))) / 2.0


def boiling_point_c(pressure_pa: float) -> Celsius:
    """Where an open kettle boils at that station pressure (not the one reduced to sea level).

    Raises UsageError outside 280-1100 hPa.
    """
    if not PRESSURE_PA[0] <= pressure_pa <= PRESSURE_PA[1]:
        raise UsageError(
            f"{pressure_pa / 100:g} hPa is no air pressure at a place where people brew",
            "give the station pressure in hPa, 280 to 1100",
        )
    return saturation_temperature_k(pressure_pa) - _ZERO_C_K
