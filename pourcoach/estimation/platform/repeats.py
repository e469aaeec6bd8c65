"""Readings that a scale sends again in place of a new one."""

from typing import NamedTuple

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.noise.traits import TraitsLearner

# From this flow on a reading equal to the last may be a repeat.
LEAST_FLOW_GPS = 1.5
# Steps below this share of change and noise together make honest equal readings rare.
FINE_SHARE = 0.4
# The next reading has caught up if it rose by more than this share of what two should.
CAUGHT_UP_SHARE = 0.7


class Weighed(NamedTuple):
    """A reading with its moment, and its weight unbroken by the scale's own tares."""

    t_s: Seconds
    ticks: int
    grams: Grams


class RepeatWatch:
    """Holds back a reading equal to the last while water runs, until the next one judges it.

    If the weight has caught up by then, it was a repeat and goes; if not, the water stopped.
    """

    __slots__ = ("_held", "_last_g", "_traits")

    def __init__(self, traits: TraitsLearner) -> None:
        self._traits = traits
        self._last_g: Grams | None = None
        self._held: Weighed | None = None

    def is_new(self, grams: Grams) -> bool:
        """Whether the next reading is to be taken as it is: it differs from the last, and none is
        held back. Any other must be sifted."""
        last_g, self._last_g = self._last_g, grams
        return grams != last_g and self._held is None

    def sift(
        self, weighed: Weighed, flow_gps: GramsPerSecond, passed_s: Seconds
    ) -> tuple[Weighed, ...]:
        """What to take now, oldest first, of a reading that is not new; ``passed_s`` since the last
        reading taken."""
        held = self._held
        if held is None:
            if flow_gps <= LEAST_FLOW_GPS:
                return (weighed,)
            traits = self._traits
            change_g = flow_gps * passed_s
            if traits.rounding_g >= FINE_SHARE * (change_g + traits.rest_noise_g):
                return (weighed,)
            self._held = weighed
            return ()
        self._held = None
        caught_up = weighed.grams - held.grams > CAUGHT_UP_SHARE * flow_gps * passed_s
        return (weighed,) if caught_up else (held, weighed)
