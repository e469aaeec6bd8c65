"""When to show STOP: ahead of the mark by the water still to come, as learnt from earlier stops."""

from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.cues.stop_forecast import WANDER_FROM_S, StopForecast
from pourcoach.coaching.flow.pacing import RecentFlow
from pourcoach.domain.estimate import Estimate
from pourcoach.domain.setup import USUAL_REACTION_S, Setup
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

LEAST_S: Seconds = 0.05
MOST_S: Seconds = 0.8
"""Bounds of the reaction time: nobody is faster, and a later stop was no answer to the word."""
USUAL_SHARE = 0.2
"""How far one stop moves the reaction time: about the last five count, and a single odd one does
little."""
LATE_S: Seconds = 1.0
"""A stop that missed by more than so much flow was no answer to the word."""
LEAST_FLOW_GPS: GramsPerSecond = 0.5
"""No stop is forecast from a slower flow."""
PULL = 0.8
"""How far the flow over the lead is pulled from the newest figure to the pour's own of late: a
swing of a hand at 0.3 to 0.9 Hz does not last, and the newest figure is noisy. Tried from 0 to 1 on
simulated stops: from 0.6 to 0.8 they land alike, with 1 fast ones land worse, and the nearer to 1
the less a reading moves the forecast."""
WAY_DOWN_S: Seconds = 0.1
"""Half the time a kettle takes to be set down, in which half the flow still comes; added to the
usual reaction until the brewer's own lead is learnt (common practice)."""
FAST_STOPS = 3
"""A reaction time not learnt before moves faster over so many stops."""


def learnt(
    reaction_s: Seconds, off_g: Grams, flow_gps: GramsPerSecond, share: float = USUAL_SHARE
) -> Seconds:
    """Return the reaction time after one more stop, moved by ``share`` towards what that stop
    needed.

    ``off_g`` is how far beyond the mark it landed when STOP was shown ``reaction_s`` ahead,
    ``flow_gps`` the flow at that time. A new brewer starts with ``USUAL_REACTION_S``.
    """
    if flow_gps <= 0.0 or abs(off_g) > LATE_S * flow_gps:
        return reaction_s
    needed_s = reaction_s + off_g / flow_gps
    return min(MOST_S, max(LEAST_S, reaction_s + share * (needed_s - reaction_s)))


@dataclass(frozen=True, slots=True)
class Said:
    """A STOP that was shown."""

    at_s: Seconds
    index: int
    """Index of the stage."""
    mark_g: Grams
    flow_gps: GramsPerSecond


class Stopping:
    """Forecasts each stop and learns from how it landed.

    Water in the air needs no allowance: the push of the falling jet makes a scale read the water
    that has left the spout (momentum flux of a free-falling jet).
    """

    def __init__(self, setup: Setup) -> None:
        self._display_s = setup.display_delay_s
        self._known = setup.reaction_s != USUAL_REACTION_S
        self.reaction_s = setup.reaction_s + (0.0 if self._known else WAY_DOWN_S)
        """Time from the word to still water: the brewer's own as learnt so far, else the usual
        one."""
        self.learnt_from = 0
        """Number of stops it was learnt from."""
        self._forecast = StopForecast()
        self.said: Said | None = None
        """The last STOP, until it is known where the pour landed."""

    @property
    def answer_s(self) -> Seconds:
        """Time from a Frame with a word to the brewer's movement."""
        return max(0.0, self.reaction_s - WAY_DOWN_S) + self._display_s

    def flow_gps(self, estimate: Estimate, recent: RecentFlow) -> GramsPerSecond:
        """Return the flow expected until the stop."""
        if recent.mean_gps <= 0.0:
            return estimate.flow_gps
        return estimate.flow_gps + PULL * (recent.mean_gps - estimate.flow_gps)

    def due_s(
        self, estimate: Estimate, water_g: Grams, mark_g: Grams, recent: RecentFlow
    ) -> Seconds | None:
        """Return when STOP is due, on the tape; None if there is no forecast."""
        flow_gps = self.flow_gps(estimate, recent)
        if flow_gps < LEAST_FLOW_GPS:
            self._forecast.forget()
            return estimate.t_s if water_g >= mark_g else None
        full_s = estimate.t_s + (mark_g - water_g) / flow_gps
        if recent.lasted_s < WANDER_FROM_S:
            self._forecast.forget()
        else:
            error_s = estimate.mass_error_g / flow_gps
            full_s = self._forecast.feed(estimate.t_s, mark_g, full_s, error_s, recent.cv)
        return full_s - self.reaction_s - self._display_s

    def say(self, said: Said) -> None:
        """Note that STOP is shown."""
        self.said = said

    def learn(self, poured: Sequence[Poured]) -> None:
        """Learn from where the pour landed, once it is refined."""
        said = self.said
        if said is None:
            return
        for stage in poured:
            last = stage.stage.pours[-1]
            if stage.index != said.index or not last.refined:
                continue
            self.said = None
            if last.end_s is None or last.end_g is None:
                return
            if not last.start_s < said.at_s <= last.end_s:
                return  # It was said to another pour.
            fast = not self._known and self.learnt_from < FAST_STOPS
            share = 1.0 / (self.learnt_from + 2) if fast else USUAL_SHARE
            off_g = last.end_g - said.mark_g
            before_s = self.reaction_s
            self.reaction_s = learnt(before_s, off_g, said.flow_gps, share)
            if self.reaction_s != before_s:
                self.learnt_from += 1
            return
