"""Whether a number follows a weight that is put on and taken off, and by how much."""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.units import Grams
from pourcoach.wire.mass_unit import GRAMS_IN

# At rest a number may spread, and come back wrong, by this share of what the weight changes.
SPREAD_SHARE = 0.03
RETURN_SHARE = 0.03
# Weight and scale together may be this far off before a round factor is no longer believed.
ROUND_SHARE = 0.015
# A coarse number is off by its rounding besides, but not by more than this altogether.
MOST_ROUND_SHARE = 0.05
# Fewer values than this in a stretch say nothing.
LEAST_VALUES = 5
# A count of less or more than this is no weight, whatever it follows: bytes read as what they are
# not give such factors.
LEAST_G, MOST_G = 1e-8, 1e4
# Tried in this order: the simplest that fits is taken.
_POWERS = (1.0, 0.1, 0.01, 0.001, 10.0)
_STEPS = (0.5, 0.2, 0.05, 0.02, 0.005, 0.002, 2.0, 5.0)
_ROUND_FACTORS = (
    *((factor, "g", 0) for factor in _POWERS),
    (1.0, "kg", 0),
    *((factor, "oz", 1) for factor in (1.0, 0.1, 0.01, 0.001, 0.05, 0.005)),
    *((factor, "lb", 1) for factor in (1.0, 0.01, 0.001, 0.0001, 0.005, 0.0005)),
    *((factor, "g", 2) for factor in _STEPS),
)


@dataclass(frozen=True, slots=True)
class Levels:
    """How a number of the capture moves with a known weight."""

    change: float
    """By the weight; negative where the number falls."""

    def factor(self, known_g: Grams) -> tuple[float, str, int]:
        """Factor, unit and how plain it is: 0 decimal grams … 3 whatever fits."""
        exact = known_g / self.change
        if exact < 0:
            # A cell turned round is reported in counts; what gives grams gives more for more.
            return exact, "g", 3
        for size, unit, plainness in _ROUND_FACTORS:
            grams_each = size * GRAMS_IN[unit]
            # Rounding is off by half a count at most, on either level; by less as a rule.
            share = ROUND_SHARE + 0.5 / abs(self.change)
            if min(share, MOST_ROUND_SHARE) >= abs(exact / grams_each - 1.0):
                return size, unit, plainness
        return exact, "g", 3


def levels_of(stretches: Sequence[Sequence[float]], known_g: Grams) -> Levels | None:
    """From a number's values in each stretch; None where it does not follow the weight."""
    if any(len(values) < LEAST_VALUES for values in stretches):
        return None
    off, on, off_again = (statistics.median(values) for values in stretches)
    zero = (off + off_again) / 2
    change = on - zero
    if not known_g / MOST_G <= abs(change) <= known_g / LEAST_G:
        return None
    if abs(off_again - off) > RETURN_SHARE * abs(change):
        return None
    spread = max(_spread(values) for values in stretches)
    if not spread <= SPREAD_SHARE * abs(change):
        return None
    return Levels(change)


def _spread(values: Sequence[float]) -> float:
    """Middle nine tenths: a knock, or a reading of another kind, does not count."""
    ordered = sorted(values)
    cut = len(ordered) // 20
    return ordered[-1 - cut] - ordered[cut]
