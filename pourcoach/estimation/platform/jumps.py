"""Where the readings may have come to when they jump: a vessel, water unseen, a hand gone.

Each jump is a turn of a hypothesis with its probability. Hazards and densities were chosen on a
generator other than the one in this project.
"""

import math
from collections.abc import Iterator

from pourcoach.domain.units import Grams
from pourcoach.estimation.filter.filter_state import state_at
from pourcoach.estimation.platform.following import (
    FORGETS_S,
    SCALE_RANGE_G,
    Moment,
    normal,
    unseen,
)
from pourcoach.estimation.platform.hypothesis import (
    BACK_G,
    BREWER_G,
    MOST_PULLED_G,
    SAME_G,
    Hypothesis,
    Turn,
    TurnKind,
    carried_over,
)
from pourcoach.estimation.platform.newest import Newest, missed
from pourcoach.estimation.platform.put_back import PRESS_G
from pourcoach.estimation.platform.scene import (
    LOADED_G,
    MOST_FLOW_GPS,
    NEAR_G,
    STOPPED_S,
    Scene,
)

# How a touch or an outage ends, where the level is not what it was.
VESSEL_SHARE = 0.05
# Spoons, lids, thermometers: their share of all that is taken away, and their usual mass.
SMALL_SHARE = 0.25
SMALL_G = 30.0
ALONE_S = 2.0
# They are taken away quickly; a slower change is a hand or a cable that leans on the platform.
AT_ONCE_S = 0.6
SLOW_SHARE = 0.02
# A light thing that is taken away seldom leaves the readings just where they rested before; a hand
# that lets go does.
CHANCE_SHARE = 0.01
FALL_SHARE = 0.2
# A hand that pressed as slowly as water comes, and holds still, lets go within HOLDS_S or so; what
# looks so is about as often water (assumed).
LETS_GO_PER_S = 0.15
# Of hands that let go so many more leave nothing behind, give or take this (assumed).
LEAVES_NOTHING, LEAVES_G = 0.5, 0.25
WATER_SHARE = 0.15
WATER_POURING_SHARE = 0.5
# A smaller jump is no vessel, and a smaller one down no hand's that lets go.
LEAST_VESSEL_G = 3.0
LEAST_FALL_G = 0.6
# Seldom did it press while water ran, or on top of another hand, and any level may be left.
MIDST_SHARE = 0.06
# The probability that it was a hand that lets go, where as much came the way water does.
POURED_SHARE = 1e-4
# A lift passes through zero, and a reading there looks like a tare. A brewer is seldom lifted this
# soon after the scale was tared by its own button (chosen).
AFTER_TARE_TICKS = 500
AFTER_TARE_SHARE = 0.01
# The longest knock with a flat top.
BLOW_S = 2.0
BLOW_TICKS = 2000
# What comes down after a knock that pulled includes the water of that moment.
PULLS_BACK = 1.5
# The most that a sudden rush of water gives (common practice).
GUSH_GPS = 20.0


class Jumps:
    """The jumps that are possible on a platform of which this is known."""

    __slots__ = ("_newest", "_scene")

    def __init__(self, newest: Newest, scene: Scene) -> None:
        self._newest, self._scene = newest, scene

    def stays(self, one: Hypothesis, now: Moment) -> bool:
        """Whether the level has moved too little for a vessel."""
        least_g = LEAST_VESSEL_G
        if one.state.pour_probability > 0.5:
            # A rush of water may have come during a knock, or less than the flow before it.
            least_g += GUSH_GPS * min(one.lasted_s(now.ticks), BLOW_S)
        return abs(now.reading_g + one.shift_g - one.expected(now.ticks)[0]) < least_g

    def moved(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Something has been set down or taken away."""
        ticks, reading_g, noise_var = now[:3]
        expected_g, _ = one.expected(ticks)
        change_g = reading_g + one.shift_g - expected_g
        if 0.0 < change_g < -PULLS_BACK * one.fallen_g(ticks - BLOW_TICKS):
            return  # What a knock pulled up came down again.
        if now.commanded_tare and change_g < -BREWER_G and abs(reading_g) < MOST_PULLED_G:
            return  # The scale has tared itself, whatever hand lies on it.
        pouring = one.state.pour_probability > 0.5
        misses = change_g < -BREWER_G  # What is poured on misses the scale.
        seen_g = one.expected(one.state.ticks)[0]
        if misses:
            expected_g = seen_g
        shift_g = expected_g - reading_g
        change_g = one.shift_g - shift_g
        if pouring and not misses and one.lasted_s(ticks) > FORGETS_S:
            state = unseen(one.state, ticks, expected_g, noise_var)
        elif pouring and not misses:
            state = carried_over(one.state, ticks, expected_g, noise_var)
        else:
            # What is set down or taken away swings, and may not have come to rest.
            variance = noise_var + SAME_G**2
            state = state_at(ticks, expected_g, variance, 1e-3, one.state.drum_s2)
        turn = Turn(
            *(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g),
            pouring=pouring or self._scene.stopped_now,
            held_g=expected_g,
            carried_g=expected_g - seen_g,
        )
        density = 1.0 / SCALE_RANGE_G
        at_once = one.lasted_s(ticks) < AT_ONCE_S
        alone = self._scene.rested_s > ALONE_S and not one.has_jumped()
        if change_g < 0.0 and at_once and alone:
            # Many things that are taken away while the bed is left alone are small.
            density += SMALL_SHARE / SMALL_G * math.exp(change_g / SMALL_G)
        elif -MOST_PULLED_G < change_g < BREWER_G and not at_once:
            density *= SLOW_SHARE
        if -MOST_PULLED_G < change_g < 0.0 and self._rested_at(reading_g, one.shift_g):
            density *= CHANCE_SHARE
        if change_g < -BREWER_G and one.tared_since(one.since_ticks - AFTER_TARE_TICKS):
            density *= AFTER_TARE_SHARE
        yield one.turned(ending + math.log(VESSEL_SHARE * density), turn, state)

    def rose(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Water came unseen."""
        ticks, unbroken_g, noise_var = now.ticks, now.reading_g + one.shift_g, now.noise_var
        rose_g = unbroken_g - one.expected(one.state.ticks)[0]
        pouring, lasts_s = one.state.pour_probability, one.lasted_s(ticks)
        # A knock that pulls looks at first as if the water had stopped.
        rush_s = BLOW_S if pouring > 0.5 else STOPPED_S if self._scene.stopped_now else 0.0
        most_g = MOST_FLOW_GPS * lasts_s + 0.5
        most_g += (GUSH_GPS - MOST_FLOW_GPS) * min(lasts_s, rush_s)
        if self._lifted(one) or not 0.0 < rose_g < most_g:
            return  # Nobody pours onto a platform from which something has just been taken away.
        share = WATER_SHARE + (WATER_POURING_SHARE - WATER_SHARE) * pouring
        state = unseen(one.state, ticks, unbroken_g, noise_var)
        turn = Turn(ticks, TurnKind.WATER, one.shift_g, one.tares_g, unbroken_g, rose_g)
        yield one.turned(ending + math.log(share / most_g), turn, state)

    def let_go(self, one: Hypothesis, now: Moment) -> Iterator[Hypothesis]:
        """Since the reading before, a hand has let go that pressed and held still, and the weight
        is where it rested before."""
        share = LETS_GO_PER_S * now.passed_s * missed(now.passed_s)
        if share > 0.0:
            yield from self._down(one, one.log_p + math.log(share), now, to_rest=True)

    def fell(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Water does not leave: some of what rose was a hand's, and the hand has let go."""
        stood_g = one.expected(one.state.ticks)[0] - one.shift_g
        yield from self._down(one, ending + math.log(self._newest.let_go(now, stood_g)), now)

    def _down(
        self, one: Hypothesis, ending: float, now: Moment, *, to_rest: bool = False
    ) -> Iterator[Hypothesis]:
        """The weight has come down as a hand let go; ``to_rest``: to where it rested before."""
        ticks, unbroken_g, noise_var = now.ticks, now.reading_g + one.shift_g, now.noise_var
        before_g = one.expected(one.state.ticks)[0]
        rose_g = unbroken_g - before_g
        scene = self._scene
        lower = [g for g, shift_g in scene.rests if abs(shift_g - one.shift_g) < SAME_G]
        least_g = min(lower, default=math.inf)
        if scene.first_rest is not None and abs(scene.first_rest[1] - one.shift_g) < SAME_G:
            least_g = min(least_g, scene.first_rest[0])
        if least_g == math.inf or rose_g > -LEAST_FALL_G:
            return
        density = sum(
            normal(unbroken_g - g, BACK_G * BACK_G + noise_var)
            + LEAVES_NOTHING * normal(unbroken_g - g, LEAVES_G * LEAVES_G + noise_var)
            for g in lower
        )
        density *= math.exp(rose_g / PRESS_G)
        if least_g - BACK_G < unbroken_g and not to_rest:
            # However long water has run, a hand hardly presses harder.
            within_g = min(before_g - least_g + BACK_G, PRESS_G)
            density += MIDST_SHARE / within_g * math.exp(2.0 * rose_g / PRESS_G)
        if self._scene.pressed_from_g - BACK_G < unbroken_g and not to_rest:
            # However hard a hand has pressed, any part of it may be left.
            density += 1.0 / (before_g - self._scene.pressed_from_g + BACK_G)
        if one.lasted_s(ticks) < AT_ONCE_S:
            density *= self._scene.hand_holds
            if rose_g < -BREWER_G and self._scene.poured_above(unbroken_g):
                density *= POURED_SHARE
        if density > 1e-12:
            # The last part may be still to come: paths that end so near each other are one.
            state = state_at(ticks, unbroken_g, noise_var + SAME_G**2, 1e-3, one.state.drum_s2)
            near_g = min(lower, key=lambda g: abs(unbroken_g - g), default=-math.inf)
            turn = Turn(
                *(ticks, TurnKind.FALL, one.shift_g, one.tares_g, unbroken_g, rose_g),
                near_g=near_g if abs(unbroken_g - near_g) < NEAR_G else None,
            )
            yield one.turned(ending + math.log(FALL_SHARE * density), turn, state)

    def _rested_at(self, reading_g: Grams, shift_g: Grams) -> bool:
        """Whether the scale showed about this while the weight rested of late, before no water that
        has been poured since."""
        if self._scene.poured_above(reading_g + shift_g):
            return False
        return any(abs(reading_g - g + then_g) < BACK_G for g, then_g in self._scene.rests)

    def _lifted(self, one: Hypothesis) -> bool:
        """Whether something heavy has been taken away that may come back."""
        return self._scene.lifted_g + one.taken_g() > LOADED_G
