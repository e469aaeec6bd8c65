"""Vessels set down and taken away during a brew, and whether a lift stays."""

from dataclasses import dataclass, replace

from pourcoach.coaching.water import WaterLine
from pourcoach.domain.estimate import Disturbance
from pourcoach.domain.units import Grams, Seconds

LIFT_G: Grams = 20.0
"""A smaller drop is no brewer taken away: the lightest with a wet bed weigh several times that."""
VESSEL_G: Grams = 2.0
"""A smaller jump only mends the level after a stop."""
PUT_BACK_SHARE = 0.05
"""Of the lift: put back so near where it was, nothing has changed. Drips fall meanwhile."""


@dataclass(frozen=True, slots=True)
class Lift:
    """Something heavy was taken away and has not come back."""

    since_s: Seconds
    down_g: Grams
    """How much is gone."""
    line_g: Grams
    """Where the water line stood before."""
    water_g: Grams
    """Water poured before."""


class Lifts:
    """Moves the water line with every jump that was a vessel."""

    def __init__(self, line: WaterLine) -> None:
        self._line = line
        self.lift: Lift | None = None
        self._off_since_s: Seconds | None = None
        self._added_g: Grams = 0.0
        self._water_g: Grams = 0.0

    def watch(self, t_s: Seconds, disturbance: Disturbance | None) -> None:
        """Take what disturbs the scale now: a jump is told once the level has settled, but what
        moved it began with the first sign."""
        if disturbance is None or disturbance is Disturbance.LEAN:
            self._off_since_s = None
        elif self._off_since_s is None:
            self._off_since_s = t_s

    def water(self, water_g: Grams) -> None:
        """So much has been poured now. A brewer that is held only drips: where more water came
        than was taken away, it was no brewer.
        """
        self._water_g = water_g
        if self.lift is not None and water_g - self.lift.water_g > self.lift.down_g:
            self.lift = None

    def feed(self, t_s: Seconds, jump_g: Grams, off_g: Grams | None = None) -> None:
        """The level jumped by ``jump_g``, all of it a vessel's if it is large enough for one.

        ``off_g``: how far the water now, with the line where it is, lies from what the pours have
        brought; None while water runs. A jump that only brings it back there moves nothing.
        """
        if abs(jump_g) < VESSEL_G:
            return
        if self.lift is None and off_g is not None and abs(off_g) < abs(off_g - jump_g):
            return
        self._line.move(t_s, jump_g)
        lift = self.lift
        if lift is None:
            # What was set down or leant on during the brew may go again.
            self._added_g += jump_g
            if self._added_g <= -LIFT_G:
                begun_s = t_s if self._off_since_s is None else self._off_since_s
                line_g = self._line.now_g - self._added_g
                self.lift = Lift(begun_s, -self._added_g, line_g, self._water_g)
            self._added_g = max(0.0, self._added_g)
            return
        down_g = lift.down_g - jump_g
        if down_g > max(LIFT_G / 2, PUT_BACK_SHARE * lift.down_g):
            self.lift = replace(lift, down_g=down_g)
            return
        self._line.move(t_s, lift.line_g - self._line.now_g)
        self.lift = None
