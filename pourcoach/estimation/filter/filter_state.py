"""What the two-mode filter knows, as one value, and where it starts anew."""

import math
from typing import NamedTuple

from pourcoach.domain.units import Grams
from pourcoach.estimation.filter.wobble_filter import Covariance, Mean

# A pour that has just begun: its slow flow is that of a hand (2 to 10 g/s, common practice), and
# its wobble is at the bottom of a swing, so that the flow starts small and rises in a ramp (sizes
# chosen on simulated hands of two kinds).
FRESH_FLOW_GPS = 5.5
FRESH_WOBBLE_GPS = -4.5
FRESH_RISE_GPS2 = 16.0
FRESH_FLOW_VAR = 3.0
FRESH_WOBBLE_VAR = 2.0
FRESH_RISE_VAR = 80.0
# One that has run for a while is anywhere in a swing of its wobble (about 0.6 Hz).
RUNNING_RISE_VAR = FRESH_WOBBLE_VAR * (2.0 * math.pi * 0.6) ** 2
# A stream changes all at once by so much, (g/s)²: a kettle tipped too far gives two or three times
# as much as before (common practice). Its jet pushes at once, by a tenth of a gram for each g/s
# more that falls a hand's breadth, g².
CHANGED_FLOW_VAR = 6.0**2
CHANGED_PUSH_VAR = 0.5**2


class FilterState(NamedTuple):
    """All that the two-mode filter knows: to return to, or to start from elsewhere."""

    ticks: int
    level_g: Grams
    level_var: float
    pour_probability: float
    x: Mean
    p: Covariance
    good: float
    drum_s2: float
    error_g: Grams
    """How far the last reading was off where water runs, as far as it was no touch."""

    @property
    def mass_g(self) -> Grams:
        """The weight, whether water runs or not."""
        likely = self.pour_probability
        return (1.0 - likely) * self.level_g + likely * self.x[0]


def with_flow_free(state: FilterState) -> FilterState:
    """Return the same weight with a flow that may change altogether from this moment on."""
    p = state.p
    return state._replace(p=(p[0] + CHANGED_PUSH_VAR, *p[1:4], p[4] + CHANGED_FLOW_VAR, *p[5:]))


def state_at(
    ticks: int, level_g: Grams, variance: float, pour_probability: float, drum_s2: float
) -> FilterState:
    """Return a state at a level whose beginning was not seen, known with ``variance`` (g²), with
    water that has just begun to run with ``pour_probability``."""
    return FilterState(
        ticks,
        level_g,
        variance,
        pour_probability,
        (level_g, FRESH_FLOW_GPS, FRESH_WOBBLE_GPS, FRESH_RISE_GPS2),
        (
            *(variance, 0.0, 0.0, 0.0, FRESH_FLOW_VAR, 0.0, 0.0),
            *(FRESH_WOBBLE_VAR, 0.0, FRESH_RISE_VAR),
        ),
        1.0,
        drum_s2,
        0.0,
    )


def running_at(ticks: int, level_g: Grams, variance: float, drum_s2: float) -> FilterState:
    """The same where, as likely as not, water runs that did not begin just now."""
    return state_at(ticks, level_g, variance, 0.5, drum_s2)._replace(
        x=(level_g, FRESH_FLOW_GPS, 0.0, 0.0),
        p=(
            *(variance, 0.0, 0.0, 0.0, FRESH_FLOW_VAR, 0.0, 0.0),
            *(FRESH_WOBBLE_VAR, 0.0, RUNNING_RISE_VAR),
        ),
    )
