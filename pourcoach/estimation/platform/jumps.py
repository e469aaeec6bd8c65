"""Where the readings may have come to when they jump: a tare, a vessel, water unseen, a hand gone.

Each jump is a turn of a hypothesis with its probability. Hazards and densities were chosen on a
generator other than the one in this project.
"""

import math
from collections import deque
from collections.abc import Iterator

from pourcoach.domain.units import Grams, GramsPerSecond
from pourcoach.estimation.filter.filter_state import FilterState, state_at
from pourcoach.estimation.platform.following import (
    FORGETS_S,
    NEAR_DENSITY,
    SCALE_RANGE_G,
    TOUCH_WIDTH_G,
    Moment,
    normal,
    unseen_for_long,
)
from pourcoach.estimation.platform.hypothesis import (
    BACK_G,
    MOST_PULLED_G,
    SAME_G,
    Hypothesis,
    Turn,
    TurnKind,
    carried_over,
)
from pourcoach.estimation.platform.put_back import MOST_FLOW_GPS, PRESS_G
from pourcoach.estimation.platform.scene import LOADED_G, Scene

# Hazards, a second.
TARE_PER_S = 0.006
LIFT_PER_S = 0.01
# Of a scale that was commanded to tare, at each reading.
COMMANDED_TARE = 0.3
# How a touch or an outage ends, where the level is not what it was.
VESSEL_SHARE = 0.05
# A spoon, a lid, a thermometer: their share among what is taken away, and how heavy they are.
SMALL_SHARE = 0.25
SMALL_G = 30.0
ALONE_S = 2.0
# They go at once; what goes more slowly is a hand or a cable that leans.
AT_ONCE_S = 0.6
SLOW_SHARE = 0.02
EMPTY_SHARE = 0.1
# Nor is it all lifted off just when the pour ends, as water that stops then would suggest.
EMPTY_POURING_SHARE = 0.02
# No lift's edge is shorter (common practice).
LEAST_EDGE_S = 0.1
FALL_SHARE = 0.2
WATER_SHARE = 0.15
WATER_POURING_SHARE = 0.5
# A hand that lets go in one step, or a tare in several.
ODD_SHAPE = 0.0005
SMEARS_TICKS = 100
# What is set down or taken away is on its way, or swings, while the readings go by more than this
# from one to the next within so long; it seldom happens to stay where it is just then.
MOVES_G = 1.0
MOVES_TICKS = 60
MOVING_SHARE = 0.02
NEWEST = 40
# So long a hand is busy that has set a brewer down, or pressed a button.
SETS_DOWN_TICKS = 500
# A smaller jump is no vessel, and a smaller weight no tare that need be known.
LEAST_VESSEL_G = 3.0
LEAST_TARE_G = 0.6
LEAST_SURE_TARE_G = 3.0
LEAST_STREAM_GPS = 2.0
LEAST_FALL_G = 0.6
# A hand that is gone leaves the weight nearer than this to where it was.
NEAR_G = 3.0
# Seldom has it come on while water ran, or on top of another, so that it leaves any level.
MIDST_SHARE = 0.06
# So probably it is a hand that goes, where as much came in the way of water.
POURED_SHARE = 1e-4
# A scale takes the mean of so long for its zero (common practice).
TARES_OVER_S = 0.2
# How near zero a scale tares itself.
TARE_G = 0.3
# A brewer that is lifted weighs more than this.
LIFT_G = 15.0
# A blow with a flat top lasts no longer.
BLOW_S = 2.0
BLOW_TICKS = 2000
# What comes down again after a blow that pulled has the water of a moment with it.
PULLS_BACK = 1.5
# Nor does a gush give more than this (common practice).
GUSH_GPS = 20.0


class Jumps:
    """The jumps thought possible on a platform of which this is known."""

    __slots__ = ("_newest", "_scene")

    def __init__(self, start: FilterState, reading_g: Grams, scene: Scene) -> None:
        """``reading_g``: what the scale showed before the first of them."""
        self._scene = scene
        self._newest = deque([(start.ticks, reading_g)], maxlen=NEWEST)

    def passed(self, now: Moment) -> None:
        """All has been asked about this reading."""
        self._newest.append((now.ticks, now.reading_g))

    def still(self, now: Moment) -> float:
        """How probably the level that a fast scale shows is one to stay, for all that the reading
        before shows."""
        ticks, grams = self._newest[-1]
        moving = now.ticks - ticks < MOVES_TICKS and abs(now.reading_g - grams) > MOVES_G
        return MOVING_SHARE if moving else 1.0

    def tared(self, one: Hypothesis, now: Moment, flow_gps: GramsPerSecond) -> Iterator[Hypothesis]:
        """The scale has gone to zero while water ran like this, or all that stood on it is gone."""
        ticks, reading_g, noise_var, passed_s, commanded_tare = now
        # It carries out a commanded tare once: after that of a load none of less is it.
        commanded_tare = commanded_tare and one.tared_g() < LOADED_G
        last = None if one.path is None else one.path.turn.kind
        busy = last is TurnKind.RETURN or last is TurnKind.TARE
        if busy and ticks - one.since_ticks < SETS_DOWN_TICKS and not commanded_tare:
            return  # Who sets a brewer down has no hand free; nor is a button pressed twice.
        expected_g, _ = one.expected(ticks)
        stood_g = expected_g - one.shift_g
        falls = self._falls_to(reading_g, stood_g)
        # A hand that presses so little and lets go leaves no stream behind it.
        hand = falls and flow_gps < LEAST_STREAM_GPS
        if abs(stood_g) < (LEAST_SURE_TARE_G if hand else LEAST_TARE_G):
            return
        # What has come since the readings of which the scale made its zero.
        ran_g = flow_gps * max(passed_s, TARES_OVER_S)
        variance = noise_var + TARE_G * TARE_G
        density = normal(reading_g - 0.5 * ran_g, variance + 0.25 * ran_g * ran_g)
        if commanded_tare:
            # A hand may still lie on it.
            density = 0.7 * density + 0.3 * NEAR_DENSITY / (1.0 + (reading_g / TOUCH_WIDTH_G) ** 2)
        if density < 1e-12:
            return
        # At rest zero is where the weight was; under the stream the weight goes on.
        shift_g = expected_g - (reading_g if abs(ran_g) > TARE_G else 0.0)
        change_g = one.shift_g - shift_g
        state = carried_over(one.state, ticks, expected_g, noise_var)
        share = COMMANDED_TARE if commanded_tare else TARE_PER_S * passed_s
        if falls and self._slides(ticks, stood_g):
            share *= ODD_SHAPE
        if stood_g < 0.0:
            share *= self.still(now)  # What is put back goes by zero, too.
        turn = Turn(ticks, TurnKind.TARE, shift_g, one.tares_g - change_g, expected_g, change_g)
        yield one.turned(one.log_p + math.log(share * density), turn, state)
        if self._scene.may_be_empty and not commanded_tare:
            # Off in one step is seldom a lift: its edge takes a quarter of a second, in which a
            # fast scale has several readings.
            at_once = EMPTY_SHARE * min(passed_s / LEAST_EDGE_S, 1.0) ** 2
            if one.state.pour_probability > 0.5:
                at_once *= EMPTY_POURING_SHARE
            share = LIFT_PER_S * passed_s * (1.0 if one.off else at_once)
            turn = Turn(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g)
            # Water that is poured on misses the scale.
            state = state_at(ticks, expected_g, noise_var, 1e-3, one.state.drum_s2)
            yield one.turned(one.log_p + math.log(share * density), turn, state)

    def stays(self, one: Hypothesis, now: Moment) -> bool:
        """Whether the level has moved too little for a vessel."""
        least_g = LEAST_VESSEL_G
        if one.state.pour_probability > 0.5:
            # A gush may have come under a blow, or less than runs on.
            least_g += GUSH_GPS * min(one.lasted_s(now.ticks), BLOW_S)
        return abs(now.reading_g + one.shift_g - one.expected(now.ticks)[0]) < least_g

    def moved(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Something stands there that did not, or stands there no more."""
        ticks, reading_g, noise_var = now[:3]
        expected_g, _ = one.expected(ticks)
        change_g = reading_g + one.shift_g - expected_g
        if 0.0 < change_g < -PULLS_BACK * one.fallen_g(ticks - BLOW_TICKS):
            return  # What a blow pulled up came down again.
        if now.commanded_tare and change_g < -LIFT_G and abs(reading_g) < MOST_PULLED_G:
            return  # The scale has tared itself, whatever hand lies on it.
        if change_g < -LIFT_G:
            expected_g = one.expected(one.state.ticks)[0]  # What is poured on misses the scale.
        pouring = one.state.pour_probability > 0.5
        shift_g = expected_g - reading_g
        change_g = one.shift_g - shift_g
        if pouring and one.lasted_s(ticks) > FORGETS_S:
            state = unseen_for_long(one.state, ticks, expected_g, noise_var)
        elif pouring:
            state = carried_over(one.state, ticks, expected_g, noise_var)
        else:
            # What is set down or taken away swings, and its last may be to come.
            variance = noise_var + SAME_G**2
            state = state_at(ticks, expected_g, variance, 1e-3, one.state.drum_s2)
        turn = Turn(
            *(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g),
            pouring=pouring or self._scene.stopped_now,
            held_g=expected_g,
        )
        density = 1.0 / SCALE_RANGE_G
        at_once = one.lasted_s(ticks) < AT_ONCE_S
        alone = self._scene.rested_s > ALONE_S and not one.has_jumped()
        if change_g < 0.0 and at_once and alone:
            # Of things that are taken away from a bed left alone, many are small.
            density += SMALL_SHARE / SMALL_G * math.exp(change_g / SMALL_G)
        elif abs(change_g) < LIFT_G and not at_once:
            density *= SLOW_SHARE
        yield one.turned(ending + math.log(VESSEL_SHARE * density), turn, state)

    def rose(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Water came unseen."""
        ticks, unbroken_g, noise_var = now.ticks, now.reading_g + one.shift_g, now.noise_var
        rose_g = unbroken_g - one.expected(one.state.ticks)[0]
        pouring, lasts_s = one.state.pour_probability, one.lasted_s(ticks)
        most_g = MOST_FLOW_GPS * lasts_s + 0.5
        if pouring > 0.5:
            most_g += (GUSH_GPS - MOST_FLOW_GPS) * min(lasts_s, BLOW_S)
        if self._lifted(one) or not 0.0 < rose_g < most_g:
            return  # Nobody pours where something has just been taken away.
        share = WATER_SHARE + (WATER_POURING_SHARE - WATER_SHARE) * pouring
        state = unseen_for_long(one.state, ticks, unbroken_g, noise_var)
        turn = Turn(ticks, TurnKind.WATER, one.shift_g, one.tares_g, unbroken_g, rose_g)
        yield one.turned(ending + math.log(share / most_g), turn, state)

    def fell(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Water does not leave: some of what rose was a hand's, and the hand has let go."""
        ticks, unbroken_g, noise_var = now.ticks, now.reading_g + one.shift_g, now.noise_var
        before_g = one.expected(one.state.ticks)[0]
        rose_g = unbroken_g - before_g
        lower = [g for g, shift_g in self._scene.rests if abs(shift_g - one.shift_g) < SAME_G]
        if not lower or rose_g > -LEAST_FALL_G:
            return
        density = sum(normal(unbroken_g - g, BACK_G * BACK_G + noise_var) for g in lower)
        density *= math.exp(rose_g / PRESS_G)
        least_g = min(lower)
        if least_g - BACK_G < unbroken_g:
            density += (
                MIDST_SHARE / (before_g - least_g + BACK_G) * math.exp(2.0 * rose_g / PRESS_G)
            )
        if (
            not self._slides(ticks, before_g - one.shift_g)
            and abs(unbroken_g - one.shift_g) < BACK_G
        ):
            density *= ODD_SHAPE
        if one.lasted_s(ticks) < AT_ONCE_S:
            density *= self._scene.hand_holds
            if rose_g < -LIFT_G and unbroken_g < self._scene.poured_from_g + NEAR_G:
                density *= POURED_SHARE
        if density > 1e-12:
            # The last of it may be to come: those that end so near each other are one.
            state = state_at(ticks, unbroken_g, noise_var + SAME_G**2, 1e-3, one.state.drum_s2)
            near_g = min(lower, key=lambda g: abs(unbroken_g - g))
            turn = Turn(
                *(ticks, TurnKind.FALL, one.shift_g, one.tares_g, unbroken_g, rose_g),
                near_g=near_g if abs(unbroken_g - near_g) < NEAR_G else None,
            )
            yield one.turned(ending + math.log(FALL_SHARE * density), turn, state)

    def _slides(self, now_ticks: int, stood_g: Grams) -> bool:
        """Whether the readings have been on their way from a load to nothing for longer than a
        converter smears a step: a hand lets go bit by bit, a tare is one step."""
        low, high = sorted((0.05 * stood_g, 0.9 * stood_g))
        beyond = high if stood_g > 0.0 else low
        arrived_ticks, between = now_ticks, False
        for ticks, grams in reversed(self._newest):
            if low < grams < high:
                between = True
            elif between or (grams < beyond) is (stood_g < 0.0):
                return between and arrived_ticks - ticks > SMEARS_TICKS
            else:
                arrived_ticks = ticks
        return between

    def _lifted(self, one: Hypothesis) -> bool:
        """Whether something heavy is gone that may come back."""
        return self._scene.lifted_g + one.taken_g() > LOADED_G

    def _falls_to(self, reading_g: Grams, stood_g: Grams) -> bool:
        """Whether a hand that lets go would let the readings come down to this, nearer to where
        they rested before than they stood."""
        rests_g = [g - shift_g for g, shift_g in self._scene.rests]
        return any(
            abs(reading_g - g) < min(2.0 * BACK_G, abs(stood_g - g) + SAME_G) for g in rests_g
        )
