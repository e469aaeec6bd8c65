"""Whether the scale has tared itself, by its own button or on command, with a hand on it or not.

Each tare is a turn of a hypothesis with its probability. Hazards and densities were chosen on a
generator other than the one in this project.
"""

import math
from collections.abc import Iterator

from pourcoach.domain.units import Grams, GramsPerSecond
from pourcoach.estimation.filter.filter_state import state_at
from pourcoach.estimation.platform.following import NEAR_DENSITY, TOUCH_WIDTH_G, Moment, normal
from pourcoach.estimation.platform.hypothesis import (
    BACK_G,
    BREWER_G,
    CARRY_S,
    MOST_PULLED_G,
    SAME_G,
    Hypothesis,
    Turn,
    TurnKind,
    carried_over,
)
from pourcoach.estimation.platform.newest import Newest
from pourcoach.estimation.platform.scene import LOADED_G, Scene

# Hazards, per second.
TARE_PER_S = 0.006
LIFT_PER_S = 0.01
# Of a scale that was commanded to tare, at each reading.
COMMANDED_TARE = 0.3
EMPTY_SHARE = 0.1
# Everything is seldom lifted off at the moment when the pour ends, as the end of the flow would
# suggest.
EMPTY_POURING_SHARE = 0.02
# No lift's edge is shorter (common practice).
LEAST_EDGE_S = 0.1
# How long a hand is busy that has set a brewer down or pressed a button.
SETS_DOWN_TICKS = 500
# A tare of a smaller weight need not be recognised.
LEAST_TARE_G = 0.6
LEAST_SURE_TARE_G = 3.0
LEAST_STREAM_GPS = 2.0
# A pour brings more than the first of these, twice the coffee for one cup (common practice), and
# is the rarer the less it brings; a hand presses lightly as often as hard.
USUAL_POUR_G = 30.0
LITTLE_SHARE = 0.01
# What stands so little below zero comes to zero by water as well, where water may have begun.
BEGUN_PROBABILITY = 0.2
# A scale averages over this time for its zero (common practice).
TARES_OVER_S = 0.2
# How far a hand that presses harder or lets go meanwhile moves the readings (chosen).
HAND_MOVED_G = 4.0
# Standard error of a scale's own zero.
TARE_G = 0.3


class Tares:
    """The tares that are possible on a platform of which this is known."""

    __slots__ = ("_newest", "_scene")

    def __init__(self, newest: Newest, scene: Scene) -> None:
        self._newest, self._scene = newest, scene

    def tared(self, one: Hypothesis, now: Moment, flow_gps: GramsPerSecond) -> Iterator[Hypothesis]:
        """The scale has gone to zero at this flow, or everything has been lifted off it."""
        ticks, reading_g, noise_var, passed_s, commanded_tare = now
        # It executes a commanded tare once: after one of a load, one of less is another.
        commanded_tare = commanded_tare and one.tared_g() < LOADED_G
        last = None if one.path is None else one.path.turn.kind
        busy = last in (TurnKind.VESSEL, TurnKind.RETURN, TurnKind.TARE)
        busy = busy and ticks - one.since_ticks < SETS_DOWN_TICKS
        streams = flow_gps >= LEAST_STREAM_GPS and not one.off
        busy = busy or (self._scene.tared_now and not streams)
        if busy and not commanded_tare:
            return  # Nobody presses the button twice, or while setting a brewer down.
        expected_g, _ = one.expected(ticks)
        stood_g = expected_g - one.shift_g
        if abs(stood_g) < MOST_PULLED_G and one.tared_g() > BREWER_G:
            return  # It tares itself once; what is left now is the hand.
        falls = self._falls_to(reading_g, stood_g, one.shift_g)
        # A hand that presses so lightly and lets go is not followed by a stream.
        hand = falls and not streams
        if abs(stood_g) < (LEAST_SURE_TARE_G if hand else LEAST_TARE_G):
            return
        begun = one.state.pour_probability > BEGUN_PROBABILITY
        if -LEAST_SURE_TARE_G < stood_g < 0.0 and begun and not commanded_tare:
            return
        # Water since the readings that the scale averaged for its zero, at any moment since the
        # weight was last seen; on command what seemed to be water may be how a hand came.
        ran_g = flow_gps * max(min(one.lasted_s(ticks), CARRY_S), TARES_OVER_S)
        if commanded_tare and one.off:
            ran_g = 0.0
        variance = noise_var + TARE_G * TARE_G
        density = normal(reading_g - 0.5 * ran_g, variance + 0.25 * ran_g * ran_g)
        if commanded_tare:
            # A hand may still rest on it.
            density = 0.7 * density + 0.3 * NEAR_DENSITY / (1.0 + (reading_g / TOUCH_WIDTH_G) ** 2)
        if density < 1e-12:
            return
        if commanded_tare and one.off:
            yield from self._under_hand(one, now, stood_g)
        # At rest the zero is the weight before; under the stream the weight goes on rising.
        shift_g = expected_g - (reading_g if abs(ran_g) > TARE_G else 0.0)
        change_g = one.shift_g - shift_g
        if change_g * stood_g > 0.0:
            return  # It takes the figure no farther from zero: that is water that runs harder.
        state = carried_over(one.state, ticks, expected_g, noise_var)
        share = COMMANDED_TARE if commanded_tare else TARE_PER_S * passed_s
        if falls:
            share *= self._newest.steps(ticks, stood_g)
            share *= min((abs(stood_g) / USUAL_POUR_G) ** 3 + LITTLE_SHARE, 1.0)
        if stood_g < 0.0:
            share *= self._newest.still(now)  # What is put back passes through zero as well.
        turn = Turn(ticks, TurnKind.TARE, shift_g, one.tares_g - change_g, expected_g, change_g)
        yield one.turned(one.log_p + math.log(share * density), turn, state)
        if self._scene.may_be_empty and not commanded_tare:
            # A lift is seldom one step: its edge takes a quarter of a second, in which a fast scale
            # sends several readings.
            at_once = EMPTY_SHARE * min(passed_s / LEAST_EDGE_S, 1.0) ** 2
            if one.state.pour_probability > 0.5:
                at_once *= EMPTY_POURING_SHARE
            share = LIFT_PER_S * passed_s * (1.0 if one.off else at_once)
            turn = Turn(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g)
            # Water that is poured on misses the scale.
            state = state_at(ticks, expected_g, noise_var, 1e-3, one.state.drum_s2)
            yield one.turned(one.log_p + math.log(share * density), turn, state)

    def _under_hand(self, one: Hypothesis, now: Moment, stood_g: Grams) -> Iterator[Hypothesis]:
        """A hand lay on the platform, and the scale has included its weight in the zero: about as
        much as it showed last, since the hand may have been moving."""
        if one.state.pour_probability > 0.5:
            return  # Nobody pours under that hand: what seemed to be water was how it came.
        zero_g = self._newest.grams
        if zero_g < BREWER_G or abs(zero_g - stood_g) > MOST_PULLED_G:
            return
        share = (now.reading_g) / TOUCH_WIDTH_G
        density = COMMANDED_TARE * NEAR_DENSITY / (1.0 + share * share)
        shift_g, tares_g = one.shift_g + zero_g, one.tares_g + zero_g
        level_g = one.expected(now.ticks)[0]
        turn = Turn(now.ticks, TurnKind.TARE, shift_g, tares_g, level_g, -zero_g, hides=True)
        yield one.turned(one.log_p + math.log(density), turn)

    def let_go(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """The hand that lay there while the scale tared itself has let go: whatever the readings
        show, the weight is what it was."""
        tare = _under_a_hand(one)
        if tare is not None:
            yield from hand_gone(one, ending, now, tare.level_g, tare.shift_g)

    def _falls_to(self, reading_g: Grams, stood_g: Grams, shift_g: Grams) -> bool:
        """Whether the readings would come down to this if a hand let go: nearer to where they
        rested before than to where they stood, and to no less than has been poured."""
        if self._scene.poured_above(reading_g + shift_g):
            return False
        rests_g = [g - shift_g for g, shift_g in self._scene.rests]
        return any(
            abs(reading_g - g) < min(2.0 * BACK_G, abs(stood_g - g) + SAME_G) for g in rests_g
        )


def hand_gone(
    one: Hypothesis, known: float, now: Moment, level_g: Grams, zero_g: Grams
) -> Iterator[Hypothesis]:
    """The hand is gone under which the scale had tared itself, with about ``zero_g`` for its zero:
    the weight is what it was before, whatever the readings show."""
    shift_g = level_g - now.reading_g
    density = normal(zero_g - shift_g, HAND_MOVED_G * HAND_MOVED_G + now.noise_var)
    if density < 1e-12:
        return
    state = state_at(now.ticks, level_g, now.noise_var + SAME_G**2, 1e-3, one.state.drum_s2)
    turn = Turn(
        *(now.ticks, TurnKind.RETURN, shift_g, one.tares_g, level_g, one.shift_g - shift_g),
        keeps_level=True,
        let_go=True,
        near_g=level_g,
    )
    yield one.turned(known + math.log(density), turn, state)


def _under_a_hand(one: Hypothesis) -> Turn | None:
    """The last tare on this path if a hand lay there that has not let go since."""
    for turn in reversed(one.turns()):
        if turn.kind in (TurnKind.TARE, TurnKind.RETURN):
            return turn if turn.hides else None
    return None
