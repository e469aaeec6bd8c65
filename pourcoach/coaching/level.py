"""Keeps the water line where it belongs, through vessels, lifts and touches."""

from pourcoach.coaching.lifts import Lift, Lifts
from pourcoach.coaching.water import WaterLine
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.units import Grams, Seconds

QUIET_S: Seconds = 1.0
"""After a touch, before the level is looked at again."""
LEFT_BEHIND_G: Grams = 3.0
"""Less than this after a touch may be drips: common practice."""


class Level:
    """Takes off the water what vessels and hands put on the scale or took away."""

    def __init__(self, line: WaterLine) -> None:
        self._line = line
        self._lifts = Lifts(line)
        self._touched_s: Seconds | None = None

    @property
    def lift(self) -> Lift | None:
        """What heavy has been taken off the scale and not come back."""
        return self._lifts.lift

    def mend(self, t_s: Seconds, estimate: Estimate, poured_g: Grams | None) -> None:
        """Look at one moment in mid-brew. ``poured_g``: what the pours have brought; None while
        water runs.
        """
        off_g: Grams | None = None
        if poured_g is not None:
            off_g = estimate.mass_g - self._line.now_g - poured_g
        self._lifts.watch(t_s, estimate.disturbance)
        if estimate.step_g:
            self._lifts.feed(t_s, estimate.step_g, off_g)
        if estimate.disturbance is not None:
            self._touched_s = t_s
        elif self._touched_s is not None and t_s - self._touched_s > QUIET_S and self.lift is None:
            # What a touch left behind came without a pour, so it is no water.
            if off_g is not None and abs(off_g) > LEFT_BEHIND_G:
                self._line.move(t_s, off_g)
            self._touched_s = None

    def water(self, water_g: Grams) -> None:
        """So much has been poured now."""
        self._lifts.water(water_g)
