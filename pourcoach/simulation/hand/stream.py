"""One stage's water leaving the spout, from the hand's tilting to its setting down."""

from random import Random

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.faults import Stall, Surge
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.hand.wobble import OscillatingWobble, wobble
from pourcoach.simulation.minimum_jerk import minimum_jerk
from pourcoach.simulation.ticks import TICK_S

TREMOR_HZ = 9.0
"""Physiological tremor lies at 8 to 12 Hz (from memory)."""
TREMOR_DAMPING = 0.1
THINNEST = 0.1
"""Share of the hand's flow that a wandering stream does not fall below: a thinner one breaks into
drops, which a hand sees and mends; common practice."""
EDGE_S = 0.2
"""From full flow to the bottom of a stall, or the top of a surge, and back."""
CHANGE_S = 0.3
"""Time constant with which a hand brings the flow to where it now means it; chosen."""


class Interruption:
    """A stall or a surge under way."""

    def __init__(self, fault: Stall | Surge, start_s: Seconds) -> None:
        self.fault = fault
        self.start_s = start_s + EDGE_S
        """When the bottom or the top is reached."""
        self.end_s = self.start_s + fault.lasts_s
        """When it is left."""

    def share(self, t_s: Seconds) -> float:
        """Of the hand's flow at this moment."""
        if t_s < self.end_s:
            depth = minimum_jerk(1 + (t_s - self.start_s) / EDGE_S)
        else:
            depth = minimum_jerk(1 - (t_s - self.end_s) / EDGE_S)
        return 1 + (self.fault.share - 1) * depth


class Stream:
    """The flow of one stage. It opens at ``open_s`` and runs until closed by the hand."""

    def __init__(
        self,
        profile: HandProfile,
        flow_gps: GramsPerSecond,
        cv: float,
        interruptions: list[Stall | Surge],
        open_s: Seconds,
        planned_g: Grams,
        chance: Random,
    ) -> None:
        self.flow_gps = flow_gps
        """Where the hand means to hold it. A listening hand is asked to change it."""
        self._held_gps = flow_gps
        self.calm = 1.0
        """Share of its wobble that is left when the hand takes care."""
        self.poured_g: Grams = 0.0
        self.interrupted: list[Interruption] = []
        self.closing_s = chance.uniform(*profile.ramp_down_s)
        """How long the way to nothing takes."""
        self._open_s = open_s
        self._opening_s = chance.uniform(*profile.ramp_up_s)
        self._close_s: Seconds | None = None
        self._planned_g = planned_g
        self._due = sorted(interruptions, key=lambda fault: fault.after_share)
        hz = chance.uniform(*profile.wobble_hz)
        self._cv = cv
        self._tremor_cv = profile.tremor_cv
        self._wobble = wobble(profile.wobble, hz, profile.wobble_damping, TICK_S, chance)
        self._tremor = OscillatingWobble(TREMOR_HZ, TREMOR_DAMPING, TICK_S, chance)

    def close(self, t_s: Seconds) -> None:
        """Begin to set the kettle down."""
        if self._close_s is None:
            self._close_s = t_s

    @property
    def closing(self) -> bool:
        """Whether the kettle is on its way down, or is down."""
        return self._close_s is not None

    def closed(self, t_s: Seconds) -> bool:
        """Whether the last water has left the spout."""
        return self._close_s is not None and t_s >= self._close_s + self.closing_s

    def step(self, t_s: Seconds, tilt: float) -> GramsPerSecond:
        """The flow over the tick that begins at ``t_s``; ``tilt`` is what circling adds."""
        if self._due and self.poured_g >= self._due[0].after_share * self._planned_g:
            self.interrupted.append(Interruption(self._due.pop(0), t_s))
        wander = 1 + self.calm * (
            self._cv * self._wobble.step() + self._tremor_cv * self._tremor.step() + tilt
        )
        middle_s = t_s + TICK_S / 2
        share = max(wander, THINNEST) * minimum_jerk((middle_s - self._open_s) / self._opening_s)
        if self._close_s is not None:
            share *= 1 - minimum_jerk((middle_s - self._close_s) / self.closing_s)
        if self.interrupted:
            share *= self.interrupted[-1].share(middle_s)
        self._held_gps += (self.flow_gps - self._held_gps) * (TICK_S / CHANGE_S)
        flow_gps = self._held_gps * share
        self.poured_g += flow_gps * TICK_S
        return flow_gps
