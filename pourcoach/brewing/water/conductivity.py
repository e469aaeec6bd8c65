"""Dissolved solids from conductivity: only by a scale that the user states."""

import math
from itertools import pairwise

from pourcoach.brewing.working import Working
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number

# Points in µS/cm and mg/L of the "442" reference solution (40 % sodium sulphate, 40 % sodium
# bicarbonate, 20 % sodium chloride) as meter makers print them. The printed factors disagree
# between manuals at 84 µS/cm; the printed mg/L do not.
_SCALE_442 = ((84.0, 50.50), (447.0, 300.0), (1413.0, 1000.0), (1500.0, 1050.0))
# The same makers' single points for the other two reference solutions.
_FACTORS = {"kcl": 744.7 / 1413.0, "nacl": 702.1 / 1413.0}
SCALES = ("442", *_FACTORS)
# Natural waters lie within about 0.55-0.8; a meter's factor never leaves this.
_POSSIBLE_FACTOR = (0.4, 1.0)


def dissolved_solids_mgl(conductivity_us_cm: float, scale: str) -> tuple[float, Working]:
    """Dissolved solids at 25 °C, and how they came about.

    ``scale`` is ``442``, ``kcl``, ``nacl`` or the meter's own factor as a number. It has no
    default: a meter on 0.5 reads the same water 29 % lower than one on 0.7. Raises UsageError.
    """
    if not 0.0 <= conductivity_us_cm < 20_000.0:
        raise UsageError(f"{conductivity_us_cm:g} µS/cm is no brew water", "give 0 to 20000 µS/cm")
    if scale == "442":
        factor, source = _factor_442(conductivity_us_cm), "442 reference solution, meter makers"
    elif scale in _FACTORS:
        factor, source = _FACTORS[scale], f"{scale} reference solution, meter makers"
    else:
        factor, source = _own_factor(scale), "the factor stated"
    tds_mgl = factor * conductivity_us_cm
    return tds_mgl, Working(
        "dissolved solids = factor × conductivity",
        f"{factor:.3f} × {conductivity_us_cm:g} µS/cm = {tds_mgl:.0f} mg/L",
        source,
    )


def _own_factor(scale: str) -> float:
    try:
        factor = read_number(scale)
    except UsageError:
        factor = math.nan
    if not _POSSIBLE_FACTOR[0] <= factor <= _POSSIBLE_FACTOR[1]:
        raise UsageError(
            f"{scale!r} is no conductivity scale",
            f"use {', '.join(SCALES)} or the meter's factor, 0.4 to 1.0",
        )
    return factor


def _factor_442(conductivity_us_cm: float) -> float:
    """Between the printed points, straight in the logarithm; beyond them, the nearest one's."""
    points = [(us_cm, mgl / us_cm) for us_cm, mgl in _SCALE_442]
    if conductivity_us_cm <= points[0][0]:
        return points[0][1]
    for (x0, y0), (x1, y1) in pairwise(points):
        if conductivity_us_cm <= x1:
            return y0 + (y1 - y0) * math.log(conductivity_us_cm / x0) / math.log(x1 / x0)
    return points[-1][1]
