"""Strength from degrees Brix, by a factor that the user states."""

from pourcoach.brewing.strength.measured import Measured, propagate
from pourcoach.brewing.working import Working
from pourcoach.domain.errors import UsageError

# Common practice: a hand refractometer reads to about a tenth of a degree, and makers' and users'
# factors for coffee differ by some hundredths.
USUAL_BRIX_ERROR = 0.05
USUAL_FACTOR_ERROR = 0.02


def strength_from_brix(brix: Measured, factor: Measured) -> tuple[Measured, Working]:
    """Percent dissolved solids with the errors of both, and how it came about.

    Brix is defined on sucrose; coffee's own factor depends on the coffee and the instrument, and
    no standard fixes it. Raises UsageError for a factor or an error that is none.
    """
    if not 0.5 <= factor.value <= 1.2:
        raise UsageError(
            f"{factor.value:g} is no plausible share of coffee solids in a degree Brix",
            "give the factor your refractometer's maker states, about 0.7 to 1.0",
        )
    if not (brix.error >= 0.0 and factor.error >= 0.0):
        raise UsageError("an error below 0 cannot be", "give the standard error, 0 or more")
    strength = propagate(lambda b, f: b * f, brix, factor)
    return strength, Working(
        "S = factor × Brix",
        f"({factor.value:g} ± {factor.error:g}) × ({brix.value:g} ± {brix.error:g}) °Bx = "
        f"{strength.value:.3f} ± {strength.error:.3f} %",
        "the factor stated; Brix itself is defined on sucrose",
    )
