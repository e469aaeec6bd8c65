"""The server on the scale: what drips out, and when it has done dripping."""

from collections import deque

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

DRAINED_GPS: GramsPerSecond = 0.1
"""A bed that lets out less has drained, about two drops a second: common practice."""
OVER_S: Seconds = 6.0
"""Drips are counted over so long, so that single drops even out."""
STAYS_S: Seconds = 5.0
"""The drip must stay away so long before it counts as over."""
EVERY_S: Seconds = 0.5
RETAINED_G_PER_G = 2.0
"""Liquid that a drained bed keeps, by mass of coffee; about 2 mL/g, Lockhart (from memory)."""
MOST = 0.6
"""Of what should drip, below which a pause in dripping is not yet the end."""


def first_drip_s(plan: Plan) -> Seconds:
    """Brew time of the first drip, poured to plan: when the bed has got all that it keeps."""
    kept_g = RETAINED_G_PER_G * plan.dose_g
    for index, stage in enumerate(plan.stages):
        if stage.to_g > kept_g:
            missing_g = max(0.0, kept_g - plan.stage_from_g(index))
            return stage.start_s + missing_g / stage.flow_gps
    return 0.0


class Drawdown:
    """The drip over the last few seconds. Bounded; fed with the weight of what has dripped."""

    def __init__(self) -> None:
        self._weights: deque[tuple[Seconds, Grams]] = deque()
        self._slow_s: Seconds | None = None

    @property
    def drip_gps(self) -> GramsPerSecond | None:
        """Mean over ``OVER_S``; None until that has passed."""
        if not self._weights:
            return None
        (first_s, first_g), (last_s, last_g) = self._weights[0], self._weights[-1]
        if last_s - first_s < OVER_S - EVERY_S:
            return None
        return (last_g - first_g) / (last_s - first_s)

    def feed(self, t_s: Seconds, dripped_g: Grams) -> None:
        """The weight at this moment."""
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
        """When the drip ended, on the tape; None while it drips or may yet go on."""
        if self._slow_s is None or t_s - self._slow_s < stays_s + OVER_S / 2:
            return None
        return self._slow_s
