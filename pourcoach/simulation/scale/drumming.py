"""Falling water drums on what it meets: noise that grows with the flow."""

import math
from random import Random

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.ticks import TICK_S

CORRELATED_S = 0.025
"""Over which it hangs together, in logs of robot pours."""


class Drumming:
    """A first-order autoregression, scaled by the flow that lands."""

    def __init__(self, drumming_s: Seconds, chance: Random) -> None:
        """``drumming_s``: standard deviation of a reading, in grams for each g/s of flow."""
        self._gauss = chance.gauss
        keep = math.exp(-TICK_S / CORRELATED_S)
        self._keep = keep
        self._fresh = math.sqrt(1 - keep**2)
        # A reading lies anywhere between two ticks, and a mean of two values is smaller: by
        # ∫u² + (1-u)² + 2u(1-u) keep = (2 + keep) / 3 of the variance on average.
        self._size_s = drumming_s / math.sqrt((2 + keep) / 3)
        self._level = 0.0

    def step(self, landing_gps: GramsPerSecond) -> Grams:
        """Let a tick pass with this flow landing; what drumming adds to the cell's signal."""
        if not self._size_s:
            return 0.0
        self._level = self._keep * self._level + self._fresh * self._gauss(0, 1)
        return self._size_s * landing_gps * self._level
