"""The short form of the Langelier index, as tables and calculator pages print it.

Kept to check such pages and to show by how much it is off against PHREEQC: over pH 6-9.3, from 0.24
too low to 0.21 too high at 25 °C (0.12 too low in the mean); at 93 °C 0.63 too high in the mean,
since it holds the pH of the reading. ``scaling`` is what the program goes by.
"""

import math

from pourcoach.domain.units import Celsius


def short_form_factors(
    tds_mgl: float, temperature_c: Celsius, calcium_hardness_mgl: float, alkalinity_mgl: float
) -> tuple[float, float, float, float]:
    """A, B, C and D of ``pHs = 9.3 + A + B - C - D``; hardness and alkalinity as CaCO3."""
    return (
        (math.log10(tds_mgl) - 1.0) / 10.0,
        -13.12 * math.log10(temperature_c + 273.0) + 34.55,
        math.log10(calcium_hardness_mgl) - 0.4,
        math.log10(alkalinity_mgl),
    )


def short_form_saturation_ph(
    tds_mgl: float, temperature_c: Celsius, calcium_hardness_mgl: float, alkalinity_mgl: float
) -> float:
    """pHs by the short form."""
    a, b, c, d = short_form_factors(tds_mgl, temperature_c, calcium_hardness_mgl, alkalinity_mgl)
    return 9.3 + a + b - c - d
