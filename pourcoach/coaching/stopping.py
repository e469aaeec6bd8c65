"""When to say STOP: ahead of the mark by what still comes until the hand has stopped."""

from dataclasses import dataclass

from pourcoach.coaching.lead import learnt
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

LEAST_FLOW_GPS: GramsPerSecond = 0.5
"""A slower trickle forecasts nothing."""


@dataclass(frozen=True, slots=True)
class Said:
    """A STOP that was said."""

    at_s: Seconds
    mark_g: Grams
    flow_gps: GramsPerSecond


class Stopping:
    """Forecasts each stop and learns from how it landed.

    What is in the air needs no allowance: the push of the falling jet makes a scale read the
    water that has left the spout (momentum flux of a free-falling jet).
    """

    def __init__(self, setup: Setup) -> None:
        self._display_s = setup.display_delay_s
        self.reaction_s = setup.reaction_s
        """The brewer's lead as learnt up to now."""
        self.learnt_from = 0
        """How many stops it was learnt from."""
        self.said: Said | None = None

    def due_s(self, estimate: Estimate, water_g: Grams, mark_g: Grams) -> Seconds | None:
        """When STOP is due, on the tape, if the flow stays; None where it cannot be said."""
        if estimate.flow_gps < LEAST_FLOW_GPS:
            return estimate.t_s if water_g >= mark_g else None
        left_s = (mark_g - water_g) / estimate.flow_gps
        return estimate.t_s + left_s - self.reaction_s - self._display_s

    def say(self, at_s: Seconds, mark_g: Grams, flow_gps: GramsPerSecond) -> None:
        """STOP is shown from ``at_s`` on."""
        self.said = Said(at_s, mark_g, flow_gps)

    def landed(self, end_s: Seconds, end_g: Grams) -> None:
        """The pour ended; learn, if it was STOP that ended it."""
        said, self.said = self.said, None
        if said is None or end_s < said.at_s:
            return
        before_s = self.reaction_s
        self.reaction_s = learnt(before_s, end_g - said.mark_g, said.flow_gps)
        if self.reaction_s != before_s:
            self.learnt_from += 1
