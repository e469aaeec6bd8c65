"""Water between spout and bed: it falls for a while, and pushes where it lands."""

import math
from collections import deque

from pourcoach.domain.units import Grams, GramsPerSecond
from pourcoach.simulation.ticks import TICK_S

STANDARD_GRAVITY = 9.80665
"""m/s²; 3rd General Conference on Weights and Measures, 1901."""
USUAL_HEIGHT_M = 0.08
"""Spout above the water; common practice."""
USUAL_SPEED_MPS = 0.05
"""Downward part of the speed at the spout. A full 6 mm stream of 6 g/s moves at 0.21 m/s
along the spout, which a kettle holds nearly level; the share is chosen, no published source."""


class Jet:
    """A stream that keeps its shape: all of it falls equally long."""

    def __init__(
        self, height_m: float = USUAL_HEIGHT_M, speed_mps: float = USUAL_SPEED_MPS
    ) -> None:
        landing_mps = math.sqrt(speed_mps**2 + 2 * STANDARD_GRAVITY * height_m)
        self.fall_s = (landing_mps - speed_mps) / STANDARD_GRAVITY
        self._push_s = landing_mps / STANDARD_GRAVITY
        whole = int(self.fall_s / TICK_S)
        self._part = self.fall_s / TICK_S - whole
        self._falling: deque[GramsPerSecond] = deque([0.0] * (whole + 2), whole + 2)
        self.in_flight_g: Grams = 0.0
        self.push_g: Grams = 0.0
        """Force on what it lands on, as grams of weight: the flow landing times its speed over
        gravity. With no speed at the spout it equals the water in flight under a steady flow."""

    def step(self, spout_gps: GramsPerSecond) -> GramsPerSecond:
        """Let one tick of water leave the spout; the flow that lands in it."""
        self._falling.append(spout_gps)
        landing_gps = self._falling[1] + self._part * (self._falling[0] - self._falling[1])
        self.in_flight_g += (spout_gps - landing_gps) * TICK_S
        self.push_g = landing_gps * self._push_s
        return landing_gps
