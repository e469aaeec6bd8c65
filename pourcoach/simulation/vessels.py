"""What stands on the platform, and what of it a hand lifts off."""

from pourcoach.domain.plan import Arrangement
from pourcoach.domain.units import Grams, GramsPerSecond
from pourcoach.simulation.bed import BedModel
from pourcoach.simulation.jet import Jet

BREWER_G = 250.0
"""A dripper with its paper, as lifted off a tared scale; common practice."""
SERVER_G = 350.0
"""A glass server, likewise."""


class Vessels:
    """Tared when empty, the dose in the brewer: what they weigh is water, and the jet's push."""

    def __init__(self, arrangement: Arrangement, dose_g: Grams, bed: BedModel, jet: Jet) -> None:
        self._brewer_on_scale = arrangement is Arrangement.BREWER_ON_SCALE
        self._empty_g = BREWER_G + dose_g if self._brewer_on_scale else SERVER_G
        self._bed = bed
        self._jet = jet

    def weight_g(self) -> Grams:
        """With all of them in their place."""
        if self._brewer_on_scale:
            return self._bed.held_g + self._bed.drained_g + self._jet.push_g
        return self._bed.drained_g

    def lifted_g(self) -> Grams:
        """What is missing when the brewer is lifted off, or the server where it stands alone."""
        water_g = self._bed.held_g if self._brewer_on_scale else self._bed.drained_g
        return self._empty_g + water_g

    def poured_on(self, landing_gps: GramsPerSecond) -> tuple[GramsPerSecond, Grams]:
        """Flow and push of the jet as far as the platform feels them."""
        return (landing_gps, self._jet.push_g) if self._brewer_on_scale else (0.0, 0.0)
