"""Single readings far off, which a converter makes and no touch."""

import math
from collections import deque
from collections.abc import Sequence

from pourcoach.domain.units import Grams, Seconds

# Spikes of a converter come singly and at random. Where they were frequent of late, some fall
# together: such a group is no touch if spikes make groups like it more often than hands touch.
SPIKES_OVER_S = 30.0
TOUCHES_PER_S = 0.04
LONG_TOUCH_S = 0.6
# Once so many single ones have shown what converter it is, only readings that lie off to one side
# for so long, and so many in a row, are a touch.
SPIKES_KNOWN = 2
ONE_SIDE_S = 0.08
ONE_SIDE_READINGS = 3


class SpikeWatch:
    """Learns how often spikes come, and distinguishes groups of them from touches."""

    __slots__ = ("_singles_s",)

    def __init__(self) -> None:
        self._singles_s: deque[Seconds] = deque()

    def single(self, t_s: Seconds) -> None:
        """One came alone."""
        self._singles_s.append(t_s)

    def explain(self, times_s: Sequence[Seconds], sides: Sequence[int]) -> bool:
        """Whether readings that lie far off to these sides (``side_of``), at least one of them, are
        rather spikes than a touch.

        Those come in groups of n within T as often as r (r T)^(n-1) / (n-1)!, a Poisson process of
        rate r, and of touches a share is over as soon.
        """
        singles_s = self._singles_s
        while singles_s and singles_s[0] < times_s[0] - SPIKES_OVER_S:
            singles_s.popleft()
        if len(singles_s) >= SPIKES_KNOWN and not _stays_on_one_side(times_s, sides):
            return True
        far = sum(side != 0 for side in sides)
        per_s, lasts_s = len(singles_s) / SPIKES_OVER_S, times_s[-1] - times_s[0]
        grouped_per_s = per_s * (per_s * lasts_s) ** (far - 1) / math.factorial(far - 1)
        return grouped_per_s > TOUCHES_PER_S * min(lasts_s / LONG_TOUCH_S, 1.0)


def side_of(off_g: Grams, far_g: Grams) -> int:
    """To which side it is far off: 1 above, -1 below, 0 where it is not."""
    return 0 if abs(off_g) <= far_g else 1 if off_g > 0.0 else -1


def _stays_on_one_side(times_s: Sequence[Seconds], sides: Sequence[int]) -> bool:
    """Whether enough readings in a row lie far off to one side for long enough."""
    first = 0
    for i, side in enumerate(sides):
        if side != sides[first]:
            first = i
        long = times_s[i] - times_s[first] >= ONE_SIDE_S
        if side and long and i - first + 1 >= ONE_SIDE_READINGS:
            return True
    return False
