"""Whether the readings contradict the arrangement in use."""

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

LEAST_RETAINED_G_PER_G = 1.0
"""No bed of coffee keeps less: what lies on the scale beyond the rest of the water did not drip
there."""
AHEAD_S: Seconds = 5.0
"""How far ahead of the plan a brewer may be when it is decided whether so much can have dripped."""

# A pour is fast or over; a drip goes on for long, slowly. Common practice.
STEP_S: Seconds = 5.0
STEPS = 4
LEAST_DRIP_GPS: GramsPerSecond = 0.3
SLOW_SHARE = 0.5
"""The most that a drip rises, as a share of the planned flow."""
PLANLESS_FLOW_GPS: GramsPerSecond = 4.0


def most_dripped_g(plan: Plan, brew_s: Seconds) -> Grams:
    """Return the most that can have dripped into the server by brew time ``brew_s``."""
    poured_g = plan.target_g(brew_s + AHEAD_S)
    return max(0.0, poured_g - LEAST_RETAINED_G_PER_G * plan.dose_g)


class SlowRise:
    """Notices a weight that rises long and slowly, step after step, as under a dripping bed."""

    def __init__(self, plan: Plan | None) -> None:
        flow_gps = PLANLESS_FLOW_GPS
        if plan is not None:
            flow_gps = min(stage.flow_gps for stage in plan.stages)
        self._most_g = SLOW_SHARE * flow_gps * STEP_S
        self._step: tuple[Seconds, Grams] | None = None
        self._slow_steps = 0
        self.seen = False
        """Whether one was noticed; stays True."""

    def feed(self, t_s: Seconds, water_g: Grams) -> None:
        """Take the weight at this moment of a brew."""
        if self._step is None:
            self._step = t_s, water_g
            return
        since_s, since_g = self._step
        if t_s - since_s < STEP_S:
            return
        slow = LEAST_DRIP_GPS * STEP_S < water_g - since_g < self._most_g
        self._slow_steps = self._slow_steps + 1 if slow else 0
        self.seen = self.seen or self._slow_steps >= STEPS
        self._step = t_s, water_g
