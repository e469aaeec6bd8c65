"""Density of pure water at one atmosphere, and so mass against volume."""

import math

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Celsius, Grams

# Kell 1975, J. Chem. Eng. Data 20:97, equation for air-free water at 101 325 Pa, 0-150 °C
# (coefficients from memory; within 0.03 kg/m3 of IAPWS-IF97 over 0-100 °C, as the tests show).
_NUMERATOR = (999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12)
_DENOMINATOR = 16.879850e-3

LIQUID_C = (0.0, 100.0)
AIR_KG_PER_M3 = 1.2
WEIGHTS_KG_PER_M3 = 8000.0


def density_kg_per_m3(temperature_c: Celsius) -> float:
    """Density of liquid water at one atmosphere; the same number is g/L.

    Dissolved minerals of drinking water change it by less than 0.5 kg/m3. Raises UsageError
    outside 0-100 °C.
    """
    if not LIQUID_C[0] <= temperature_c <= LIQUID_C[1]:
        raise UsageError(f"water at {temperature_c:g} °C is not liquid here", "use 0 to 100 °C")
    numerator = sum(factor * temperature_c**power for power, factor in enumerate(_NUMERATOR))
    return numerator / (1.0 + _DENOMINATOR * temperature_c)


def mass_g(volume_ml: float, temperature_c: Celsius) -> Grams:
    """Mass of that volume of water at that temperature. Raises UsageError below 0."""
    _refuse_amount(volume_ml)
    return volume_ml * density_kg_per_m3(temperature_c) / 1000.0


def weighed_g(volume_ml: float, temperature_c: Celsius) -> Grams:
    """What a scale that is right with weights shows for that volume of water: about 0.1 % less than
    its mass, since air carries water more than it carries weights. Raises UsageError below 0.

    Weights are adjusted as if of 8000 kg/m3 in air of 1.2 kg/m3 (OIML D 28, conventional value of
    the result of weighing in air; from memory).
    """
    lift = 1.0 - AIR_KG_PER_M3 / density_kg_per_m3(temperature_c)
    return mass_g(volume_ml, temperature_c) * lift / (1.0 - AIR_KG_PER_M3 / WEIGHTS_KG_PER_M3)


def volume_ml(mass_g: Grams, temperature_c: Celsius) -> float:
    """Volume of that mass of water at that temperature. Raises UsageError below 0."""
    _refuse_amount(mass_g)
    return mass_g * 1000.0 / density_kg_per_m3(temperature_c)


def _refuse_amount(amount: float) -> None:
    if not 0.0 <= amount < math.inf:
        raise UsageError(f"there is no amount of {amount:g}", "give 0 or more")
