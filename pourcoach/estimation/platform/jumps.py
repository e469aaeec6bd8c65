"""Where the readings may have come to when they jump: a tare, a vessel, water unseen, a hand gone.

Each jump is a turn of a hypothesis with its probability. Hazards and densities were chosen on a
generator other than the one in this project.
"""

import math
from collections import deque
from collections.abc import Iterator

from pourcoach.domain.units import Grams, GramsPerSecond
from pourcoach.estimation.filter.filter_state import FilterState, state_at
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.platform.following import (
    FORGETS_S,
    NEAR_DENSITY,
    SCALE_RANGE_G,
    TOUCH_WIDTH_G,
    Following,
    Moment,
    normal,
    unseen_for_long,
)
from pourcoach.estimation.platform.hypothesis import (
    SAME_G,
    Hypothesis,
    Turn,
    TurnKind,
    carried_over,
)
from pourcoach.estimation.platform.scene import LOADED_G, Away, Scene

# Hazards, a second.
TARE_PER_S = 0.006
LIFT_PER_S = 0.01
# Of a scale that was commanded to tare, at each reading.
COMMANDED_TARE = 0.3
# How a touch or an outage ends, where the level is not what it was.
VESSEL_SHARE = 0.05
RETURN_SHARE = 0.35
EMPTY_SHARE = 0.1
FALL_SHARE = 0.2
WATER_SHARE = 0.15
WATER_POURING_SHARE = 0.5
# Who lifts a brewer at rest seldom pours into it before it stands again.
FILLED_SHARE = 0.02
# A hand that lets go in one step, or a tare in several.
ODD_SHAPE = 0.0005
SMEARS_TICKS = 100
NEWEST = 40
SETS_DOWN_TICKS = 500
# A smaller jump is no vessel, and a smaller weight no tare that need be known.
LEAST_VESSEL_G = 3.0
LEAST_TARE_G = 0.6
LEAST_SURE_TARE_G = 3.0
LEAST_FALL_G = 0.6
# A scale takes the mean of so long for its zero (common practice).
TARES_OVER_S = 0.2
# How near zero a scale tares itself; how near a level comes back after a hand or a vessel.
TARE_G = 0.3
BACK_G = 1.0
BACK_SHARE = 0.02
# A brewer that is lifted weighs more than this; held, it loses or gets no more than that unseen.
LIFT_G = 15.0
DRIPS_G = 3.0
DRIPS_SHARE = 0.05
# The longest blow with a flat top.
BLOW_S = 2.0
BLOW_TICKS = 2000
# What comes down again after a blow that pulled has the water of a moment with it.
PULLS_BACK = 1.5
# A hand seldom presses harder.
PRESS_G = 25.0
# No kettle gives more for long, nor more than this in a gush (common practice).
MOST_FLOW_GPS = 11.0
GUSH_GPS = 20.0


class Jumps:
    """The jumps thought possible on a platform of which this is known."""

    __slots__ = ("_following", "_level_g", "_newest", "_scene", "_start", "_start_ticks")

    def __init__(
        self, start: FilterState, level_g: Grams, shift_g: Grams, scene: Scene, following: Following
    ) -> None:
        """``level_g``: the unbroken weight before the first of them, under ``shift_g``."""
        self._scene, self._following = scene, following
        self._level_g = level_g
        self._start = Away(shift_g, 0.0, scene.t_s, start.pour_probability > 0.5)
        self._start_ticks = start.ticks
        self._newest = deque([(start.ticks, level_g - shift_g)], maxlen=NEWEST)

    def passed(self, now: Moment) -> None:
        """All has been asked about this reading."""
        self._newest.append((now.ticks, now.reading_g))

    def tared(self, one: Hypothesis, now: Moment, flow_gps: GramsPerSecond) -> Iterator[Hypothesis]:
        """The scale has gone to zero while water ran like this, or all that stood on it is gone."""
        ticks, reading_g, noise_var, passed_s, commanded_tare = now
        returned = one.path is not None and one.path.turn.kind is TurnKind.RETURN
        if returned and ticks - one.since_ticks < SETS_DOWN_TICKS:
            return  # Who sets a brewer down has no hand free for the button.
        expected_g, _ = one.expected(ticks)
        stood_g = expected_g - one.shift_g
        falls = self._falls_to(reading_g)
        if abs(stood_g) < (LEAST_SURE_TARE_G if falls else LEAST_TARE_G):
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
        turn = Turn(ticks, TurnKind.TARE, shift_g, one.tares_g - change_g, expected_g, change_g)
        yield one.turned(one.log_p + math.log(share * density), turn, state)
        if self._scene.may_be_empty and not commanded_tare:
            # Off in one step is seldom a lift: its edge takes a quarter of a second.
            share = LIFT_PER_S * passed_s * (1.0 if one.off else EMPTY_SHARE)
            turn = Turn(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g)
            # Water that is poured on misses the scale.
            state = state_at(ticks, expected_g, noise_var, 1e-3, one.state.drum_s2)
            yield one.turned(one.log_p + math.log(share * density), turn, state)

    def moved(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Something stands there that did not, or stands there no more; or as it did before."""
        ticks, reading_g, noise_var = now[:3]
        expected_g, _ = one.expected(ticks)
        change_g = reading_g + one.shift_g - expected_g
        if change_g < -LIFT_G:
            expected_g = one.expected(one.state.ticks)[0]  # What is poured on misses the scale.
        pouring = one.state.pour_probability > 0.5
        least_g = LEAST_VESSEL_G
        if pouring:
            # A gush may have come under a blow, or less than runs on.
            least_g += GUSH_GPS * min(one.lasted_s(ticks), BLOW_S)
        if abs(change_g) < least_g:
            return
        if 0.0 < change_g < -PULLS_BACK * one.fallen_g(ticks - BLOW_TICKS):
            # What a blow pulled up came down again.
            yield from self.returned(one, ending, now)
            return
        shift_g = expected_g - reading_g
        if pouring and one.lasted_s(ticks) > FORGETS_S:
            state = unseen_for_long(one.state, ticks, expected_g, noise_var)
        else:
            state = carried_over(one.state, ticks, expected_g, noise_var)
        turn = Turn(
            *(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g),
            pouring=pouring,
        )
        yield one.turned(ending + math.log(VESSEL_SHARE / SCALE_RANGE_G), turn, state)
        yield from self.returned(one, ending, now)

    def returned(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """The platform is as it was before a vessel came or went, or before a jump of this path."""
        ticks, reading_g, noise_var = now[:3]
        under = one.under
        if under is not None and under.lasted_s(ticks) < BLOW_S:
            going = ending + math.log(RETURN_SHARE)
            yield from self._following.came_back(under, going, now)
        expected_g, _ = one.expected(ticks)
        change_g = reading_g + one.shift_g - expected_g
        known = [(away.shift_g, self._level_g, away) for away in self._scene.away]
        if one.taken_g() > LOADED_G:
            start = self._start._replace(change_g=-one.taken_g())
            known.append((start.shift_g, self._level_g, start))
        rests = [(g, level_g, None) for level_g, g in self._scene.rests if g != one.shift_g]
        if self._lifted(one):
            # What is put back has its water in it: of each shift the newest level alone.
            rests = list({rest[0]: rest for rest in rests}.values())
        for before_g, level_g, away in (*known, *rests):
            width_g = BACK_G + (BACK_SHARE * abs(away.change_g) if away is not None else 0.0)
            off_g = reading_g + before_g - level_g
            if away is not None and off_g > DRIPS_G:
                yield from self._filled(one, ending, now, away)
            density = RETURN_SHARE * normal(off_g, width_g * width_g + noise_var)
            if away is not None:
                density *= away.probability
            else:
                density *= math.exp(-abs(expected_g - level_g) / PRESS_G)
            if density < 1e-12:
                continue
            shift_g, back_g = before_g, reading_g + before_g
            # A hand that goes has left nothing; with it goes what was taken for water under it.
            hand = away is not None and away.change_g > 0.0 and off_g < 0.0
            keeps_level = abs(off_g) > DRIPS_G and not hand
            if abs(off_g) > DRIPS_G:
                density *= DRIPS_SHARE
            if keeps_level:
                shift_g, back_g = level_g - reading_g, level_g
            turn = Turn(
                *(ticks, TurnKind.RETURN, shift_g, one.tares_g, back_g, change_g),
                keeps_level=keeps_level,
            )
            state = carried_over(one.state, ticks, back_g, noise_var + SAME_G**2)
            yield one.turned(ending + math.log(density), turn, state)

    def _filled(
        self, one: Hypothesis, ending: float, now: Moment, away: Away
    ) -> Iterator[Hypothesis]:
        """What had been taken away is back, with water that was poured into it meanwhile."""
        back_g = now.reading_g + away.shift_g
        water_g = back_g - self._level_g
        away_s = self._scene.t_s - away.since_s + (now.ticks - self._start_ticks) / TICKS_PER_S
        most_g = MOST_FLOW_GPS * away_s
        if away.change_g > -LOADED_G or water_g > most_g:
            return
        variance = now.noise_var + SAME_G**2
        state = state_at(now.ticks, back_g, variance, 0.5, one.state.drum_s2)
        change_g = now.reading_g + one.shift_g - one.expected(now.ticks)[0] - water_g
        turn = Turn(
            *(now.ticks, TurnKind.RETURN, away.shift_g, one.tares_g, back_g, change_g, water_g)
        )
        # A brewer that drips while it is held has water in it, and more may come.
        wet = away.pouring or one.state.pour_probability > 0.5
        share = WATER_POURING_SHARE if wet else FILLED_SHARE
        yield one.turned(ending + math.log(RETURN_SHARE * share / most_g), turn, state)

    def rose_or_fell(self, one: Hypothesis, ending: float, now: Moment) -> Iterator[Hypothesis]:
        """Water came unseen; or the weight is lower, and water does not leave."""
        ticks, unbroken_g, noise_var = now.ticks, now.reading_g + one.shift_g, now.noise_var
        before_g = one.expected(one.state.ticks)[0]
        rose_g = unbroken_g - before_g
        if self._lifted(one):
            return  # Nobody pours where something has just been taken away.
        pouring = one.state.pour_probability
        if rose_g > 0.0:
            lasts_s = one.lasted_s(ticks)
            most_g = MOST_FLOW_GPS * lasts_s
            if pouring > 0.5:
                most_g += (GUSH_GPS - MOST_FLOW_GPS) * min(lasts_s, BLOW_S)
            if rose_g < most_g + 0.5:
                share = WATER_SHARE + (WATER_POURING_SHARE - WATER_SHARE) * pouring
                state = unseen_for_long(one.state, ticks, unbroken_g, noise_var)
                turn = Turn(ticks, TurnKind.WATER, one.shift_g, one.tares_g, unbroken_g, rose_g)
                yield one.turned(ending + math.log(share / (most_g + 0.5)), turn, state)
            return
        lower = [g for g, shift_g in self._scene.rests if abs(shift_g - one.shift_g) < SAME_G]
        if not lower or rose_g > -LEAST_FALL_G:
            return
        density = sum(normal(unbroken_g - g, BACK_G * BACK_G + noise_var) for g in lower)
        density *= math.exp(rose_g / PRESS_G)
        least_g = min(lower)
        if least_g - BACK_G < unbroken_g:
            density += 0.25 / (before_g - least_g + BACK_G) * math.exp(2.0 * rose_g / PRESS_G)
        if (
            not self._slides(ticks, before_g - one.shift_g)
            and abs(unbroken_g - one.shift_g) < BACK_G
        ):
            density *= ODD_SHAPE
        if density > 1e-12:
            # The last of it may be to come: those that end so near each other are one.
            state = state_at(ticks, unbroken_g, noise_var + SAME_G**2, 1e-3, one.state.drum_s2)
            turn = Turn(ticks, TurnKind.FALL, one.shift_g, one.tares_g, unbroken_g, rose_g)
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

    def _falls_to(self, reading_g: Grams) -> bool:
        """Whether a hand that lets go would let the readings come down to this."""
        rests = self._scene.rests
        return any(abs(reading_g - (g - shift_g)) < 2.0 * BACK_G for g, shift_g in rests)
