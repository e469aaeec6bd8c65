"""Kinds of hand thought possible: how strongly the flow wanders, slowly and quickly.

Of a flow whose mean is 1 they are spectral densities a hertz, as roots, from a hand steadier than
any to one that spills.
"""

import math
from itertools import product

import numpy as np

from pourcoach.estimation.noise.whitening import Array
from pourcoach.estimation.pours.flow_series import QUICK_BAND_HZ, QUICK_HZ

SLOW = np.geomspace(0.015, 0.42, 8)
QUICK = np.geomspace(0.008, 0.33, 7)
# All waves together come to the evenness itself, which is 0.07 to 0.28 in common practice, or 0.14,
# here give or take more than those do, so that very steady and very uneven hands are not drawn to
# it. The quick part is a third as dense as the slow one, give or take a factor of 3 (of simulated
# hands a fifth to as dense).
USUAL, USUAL_FACTOR = 0.14, 2.8
QUICK_SHARE, QUICK_FACTOR = 0.33, 3.0
# Hands this many nats below the best on the coarse half of the grid are not examined further.
NEAR_NATS = 5.5


def _evenness(slow: float, quick: float) -> float:
    """Coefficient of variation of the flow, all waves together."""
    return math.sqrt(QUICK_HZ * slow**2 + QUICK_BAND_HZ * quick**2)


HANDS = tuple(product(SLOW.tolist(), QUICK.tolist()))
"""Every kind, slow and quick part."""
LOG_PRIOR = np.array(
    [
        -0.5 * (math.log(_evenness(slow, quick) / USUAL) / math.log(USUAL_FACTOR)) ** 2
        - 0.5 * (math.log(quick / slow / QUICK_SHARE) / math.log(QUICK_FACTOR)) ** 2
        for slow, quick in HANDS
    ]
)
"""Of each, but for a constant."""
_PLACES = [divmod(i, len(QUICK)) for i in range(len(HANDS))]
COARSE = [i for i, (slow, quick) in enumerate(_PLACES) if slow % 2 == quick % 2 == 0]
"""The coarse half of them, by number."""


def good_hands(best: Array) -> list[int]:
    """The coarse ones that are not far from the best, by the log posterior (h,) of all."""
    return [i for i in COARSE if best[i] > best.max() - NEAR_NATS]


def near_hands(best: Array) -> list[int]:
    """Those, and all beside them."""
    good = [_PLACES[i] for i in good_hands(best)]
    return [
        i
        for i, (slow, quick) in enumerate(_PLACES)
        if any(abs(slow - a) <= 1 and abs(quick - b) <= 1 for a, b in good)
    ]
