"""The server on the scale: what drips out, and when it has done dripping."""

from collections import deque

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

DRAINED_GPS: GramsPerSecond = 0.1
"""A bed that lets out less has drained, about two drops a second: common practice."""
OVER_S: Seconds = 6.0
"""The drip is averaged over so long, so that single drops even out."""
STAYS_S: Seconds = 5.0
"""The drip must stay away so long before it counts as over."""
EVERY_S: Seconds = 0.5
RETAINED_G_PER_G = 2.0
"""Liquid that a drained bed keeps, by mass of coffee; about 2 mL/g, Lockhart (from memory)."""
MOST = 0.6
"""Share of what should drip, below which a pause is not yet the end."""


def first_drip_s(plan: Plan) -> Seconds:
    """Return the brew time of the first drip if poured to plan: when the bed holds all that it
    keeps."""
    kept_g = RETAINED_G_PER_G * plan.dose_g
    for index, stage in enumerate(plan.stages):
        if stage.to_g > kept_g:
            missing_g = max(0.0, kept_g - plan.stage_from_g(index))
            return stage.start_s + missing_g / stage.flow_gps
    return 0.0


class Drawdown:
    """The mean drip over the last seconds, from the weight of what has dripped. Bounded in
    memory."""

    def __init__(self) -> None:
        self._weights: deque[tuple[Seconds, Grams]] = deque()
        self._slow_s: Seconds | None = None

    @property
    def drip_gps(self) -> GramsPerSecond | None:
        """The mean drip over ``OVER_S``; None until that has passed."""
        if not self._weights:
            return None
        (first_s, first_g), (last_s, last_g) = self._weights[0], self._weights[-1]
        if last_s - first_s < OVER_S - EVERY_S:
            return None
        return (last_g - first_g) / (last_s - first_s)

    def feed(self, t_s: Seconds, dripped_g: Grams) -> None:
        """Take the weight at ``t_s``."""
        weights = self._weights
        if weights and t_s - weights[-1][0] < EVERY_S:
            return
        weights.append((t_s, dripped_g))
        # One from before that time stays, so that all of it is covered however seldom one comes.
        while len(weights) > 1 and t_s - weights[1][0] >= OVER_S:
            weights.popleft()
        drip_gps = self.drip_gps
        if drip_gps is None or drip_gps >= DRAINED_GPS:
            self._slow_s = None
        elif self._slow_s is None:
            # The mean is that of the middle of the stretch.
            self._slow_s = t_s - OVER_S / 2

    def over_since_s(self, t_s: Seconds, stays_s: Seconds = STAYS_S) -> Seconds | None:
        """Return when the drip ended, on the tape; None while it drips or may still go on. It must
        have stayed away for ``stays_s``."""
        if self._slow_s is None or t_s - self._slow_s < stays_s + OVER_S / 2:
            return None
        return self._slow_s
