"""One reading under one hypothesis: how likely it is, and the filter after it."""

import math
from collections.abc import Iterator
from typing import NamedTuple

from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.filter.filter_state import (
    FilterState,
    running_at,
    state_at,
    with_flow_free,
)
from pourcoach.estimation.filter.two_modes import TwoModeFilter
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.platform.hypothesis import Hypothesis, Turn, TurnKind

# During a touch readings lie near the weight or anywhere in the scale's range, g.
TOUCH_WIDTH_G = 4.0
TOUCH_NEAR = 0.9
SCALE_RANGE_G = 1500.0
NEAR_DENSITY = TOUCH_NEAR / (math.pi * TOUCH_WIDTH_G)
_FAR_DENSITY = (1.0 - TOUCH_NEAR) / SCALE_RANGE_G
# Slosh, or a spring that swings, leaves a level slightly off where it was.
BESIDE_SHARE = 0.1
BESIDE_G = 0.5
# Water does not leave the platform: what runs backwards this fast is not water.
BACKWARDS_GPS = -0.5
# No kettle gives more, even in a rush (common practice).
NO_WATER_GPS = 25.0
# How often running water rushes, beyond a hand's wobble, per second (chosen).
STREAM_PER_S = 0.02
# It has run for a while once its slow flow is known this well, (g/s)²: that takes a second or two
# of pouring. A weight that has just begun to rise may be a hand that presses harder and harder.
KNOWN_FLOW_VAR = 1.0
# A flow that has not been seen for so long is known no better than one that begins: it drifts by
# the square root of 1.4 (g/s)²/s. Were it known still less, the filter would follow the noise.
FORGETS_S = 2.0
_ROOT_TWO_PI = math.sqrt(2.0 * math.pi)


class Moment(NamedTuple):
    """A reading, as the scale gave it, with what is known beside it."""

    ticks: int
    reading_g: Grams
    noise_var: float
    passed_s: Seconds
    """Since the reading before."""
    commanded_tare: bool
    """Whether the scale has been commanded to tare."""


class Following:
    """Runs readings through the filters of hypotheses; one filter serves each in turn."""

    __slots__ = ("_modes",)

    def __init__(self, state: FilterState) -> None:
        self._modes = TwoModeFilter(state.ticks, state.level_g, state.level_var)

    def followed(self, one: Hypothesis, now: Moment) -> tuple[float, FilterState] | None:
        """The density of a reading that shows the weight, and the filter after it; None where it
        cannot be that."""
        modes = self._modes
        modes.restore(one.state)
        modes.update(now.ticks, now.reading_g + one.shift_g, now.noise_var, no_touch=True)
        likely = modes.likelihood
        if likely < 1e-30 or modes.runs_backwards(BACKWARDS_GPS):
            return None
        if modes.pour_flow_gps > NO_WATER_GPS and modes.state.pour_probability > 0.5:
            return None
        unbroken_g = now.reading_g + one.shift_g
        turn = None if one.path is None else one.path.turn
        if turn and (turn.trails(now.ticks, unbroken_g) or turn.swings(now.ticks, unbroken_g)):
            modes.expect_tail(unbroken_g - one.state.level_g)
        return likely, modes.state

    def streamed(self, one: Hypothesis, now: Moment) -> Iterator[Hypothesis]:
        """Water runs harder all at once since the reading before: unlike a touch, a rush of
        water only rises, and the weight goes on from there."""
        runs = one.state.pour_probability > 0.5 and one.state.p[4] < KNOWN_FLOW_VAR
        unbroken_g = now.reading_g + one.shift_g
        if not runs or not one.keeps_its_level() or unbroken_g < one.expected(now.ticks)[0]:
            return
        on = self.followed(one.weighed(one.log_p, with_flow_free(one.state)), now)
        if on is None:
            return
        likely, state = on
        turn = Turn(now.ticks, TurnKind.STREAM, one.shift_g, one.tares_g, unbroken_g, 0.0)
        yield one.turned(one.log_p + math.log(STREAM_PER_S * now.passed_s * likely), turn, state)

    def came_back(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """After a touch the weight is where it was, or where running water has brought it;
        ``ending`` is the log probability that the touch ends here."""
        unbroken_g, noise_var = now.reading_g + one.shift_g, now.noise_var
        turn = Turn(now.ticks, TurnKind.BACK, one.shift_g, one.tares_g, unbroken_g, 0.0)
        before_g = one.expected(one.state.ticks)[0]
        density = BESIDE_SHARE * normal(unbroken_g - before_g, BESIDE_G * BESIDE_G + noise_var)
        if density > 1e-9:
            state = state_at(now.ticks, unbroken_g, noise_var, 1e-3, one.state.drum_s2)
            yield one.turned(ending + math.log(density), turn, state)
        on = self.followed(one, now)
        if on is None:
            return
        likely, state = on
        if state.pour_probability > 0.5 and one.lasted_s(now.ticks) > FORGETS_S:
            state = unseen(one.state, now.ticks, unbroken_g, noise_var)
        rose = (unbroken_g - before_g + 0.3) / (math.sqrt(noise_var) + 0.1)
        likely *= 0.5 + 0.5 * math.erf(rose / math.sqrt(2.0)) + 1e-12
        yield one.turned(ending + math.log(likely), turn, state)


def unseen(state: FilterState, ticks: int, level_g: Grams, noise_var: float) -> FilterState:
    """At a level that water may have brought, running or not. After so long that it need not have
    begun just now it is the same for each account of what came meanwhile, so that none of them is
    believed for how it takes the readings to come."""
    likely = max(0.3, 0.5 * state.pour_probability)
    if ticks - state.ticks > FORGETS_S * TICKS_PER_S:
        running = running_at(ticks, level_g, noise_var, state.drum_s2)
        return running._replace(pour_probability=likely)
    return state_at(ticks, level_g, noise_var, likely, state.drum_s2)


def touch_density(off_g: Grams) -> float:
    """Return the density of a touch that is off by so much, 1/g."""
    share = off_g / TOUCH_WIDTH_G
    return NEAR_DENSITY / (1.0 + share * share) + _FAR_DENSITY


def going_on(off_g: Grams, step_g: Grams) -> float:
    """Of a touch that goes on, off by so much, at a reading that differs from the one before by
    ``step_g``, 1/g: far off, a hand moves on from where it is."""
    near = touch_density(off_g)
    return near if abs(off_g) < TOUCH_WIDTH_G else 0.5 * (near + touch_density(step_g))


def normal(off_g: Grams, variance: float) -> float:
    """Return the density of a normal deviate, 1/g."""
    return math.exp(-0.5 * off_g * off_g / variance) / (_ROOT_TWO_PI * math.sqrt(variance))
