"""How long water falls from the spout to the bed."""

import math
from dataclasses import dataclass

from pourcoach.domain.units import Seconds

STANDARD_GRAVITY_MPS2 = 9.80665
"""3rd General Conference on Weights and Measures, 1901."""
USUAL_HEIGHT_CM = 9.0
USUAL_SPREAD_CM = 2.7
"""Of heights at which hands pour (common practice has 5 to 15 cm), one standard deviation."""
KEPT_SPREAD_CM = 1.5
"""How far a hand that means to pour from one height strays from it (assumed)."""
LEAST_HEIGHT_CM, MOST_HEIGHT_CM = 1.0, 60.0


@dataclass(frozen=True, slots=True)
class Fall:
    """The time of the fall, and its standard error."""

    time_s: Seconds
    error_s: Seconds


def fall_from(height_cm: float | None) -> Fall:
    """From this height of the spout above the bed; None where nobody has said one.

    A free fall from rest: ``t = √(2h/g)``.
    """
    spread_cm = KEPT_SPREAD_CM
    if height_cm is None:
        height_cm, spread_cm = USUAL_HEIGHT_CM, USUAL_SPREAD_CM
    time_s = math.sqrt(0.02 * height_cm / STANDARD_GRAVITY_MPS2)
    return Fall(time_s, 0.5 * time_s * spread_cm / height_cm)


USUAL_FALL = fall_from(None)
