"""Several load cells under one platform: how a load that sits off the middle is shared."""

import math
from random import Random

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.scale.scale_model import ScaleModel
from pourcoach.simulation.ticks import TICK_S

CELL_RADIUS_M = 0.06
"""Of the circle on which the cells stand; chosen, as for a platform of a hand's breadth."""
FEWEST_CELLS = 3
"""Two show nothing across the line between them."""
LEVELLING_S = 3.0
"""Time constant with which poured water spreads to the middle; chosen, no published source."""


class Corners:
    """Keeps the moment of the load about the middle of the platform."""

    def __init__(self, model: ScaleModel, chance: Random) -> None:
        self._model = model
        self.apart = model.cells >= FEWEST_CELLS
        """Whether it has cells that show where a load sits; else no moment need be kept."""
        self._chance = chance
        angles = [2 * math.pi * cell / model.cells for cell in range(model.cells)]
        self._towards = [(math.cos(angle), math.sin(angle)) for angle in angles]
        self._lying = (0.0, 0.0)
        self._pushing = (0.0, 0.0)

    def step(
        self, landing_gps: GramsPerSecond, push_g: Grams, position_m: tuple[float, float]
    ) -> None:
        """Let a tick of water land at ``position_m`` and push there."""
        levelled: Seconds = TICK_S / LEVELLING_S
        x, y = position_m
        lying_x, lying_y = self._lying
        self._lying = (
            lying_x + landing_gps * TICK_S * x - lying_x * levelled,
            lying_y + landing_gps * TICK_S * y - lying_y * levelled,
        )
        self._pushing = (push_g * x, push_g * y)

    def shares(self, grams: Grams) -> tuple[Grams, ...]:
        """What each cell shows of a reading, to a milligram; empty where they are not ``apart``.

        The plate is rigid and its cells equally stiff. Each cell has its own noise, and
        together they have the reading's.
        """
        model = self._model
        if not self.apart:
            return ()
        x_gm = self._lying[0] + self._pushing[0]
        y_gm = self._lying[1] + self._pushing[1]
        each_g = grams / model.cells
        lever = 2 / (model.cells * CELL_RADIUS_M)
        own_g = [
            self._chance.gauss(0, model.noise_g / math.sqrt(model.cells)) for _ in self._towards
        ]
        common_g = math.fsum(own_g) / model.cells
        return tuple(
            round(each_g + lever * (x_gm * x + y_gm * y) + noise_g - common_g, 3)
            for (x, y), noise_g in zip(self._towards, own_g, strict=True)
        )
