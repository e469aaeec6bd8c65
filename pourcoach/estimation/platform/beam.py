"""What has happened since the readings last made sense: a beam of hypotheses, one likelihood.

While all is well there is one hypothesis and the two-mode filter is it. At a reading that neither
rest nor water explains, after an outage, or where the weight falls, a beam opens: each hypothesis
is a path through the states of the platform (``TurnKind``) with a filter of its own, and is weighed
by the density of every reading under it. It is settled once one is left.

A switching state-space model (Kim 1994, J. Econometrics 60:1) whose beam is pruned by likelihood,
as in multiple hypothesis tracking (Reid 1979, IEEE Trans. Automatic Control 24:843). Its hazards
and densities were chosen on a generator other than the one in this project.
"""

import math
from collections import deque
from collections.abc import Iterator, Sequence

from pourcoach.domain.units import Grams
from pourcoach.estimation.filter.two_modes import NO_TOUCH, FilterState, TwoModeFilter, state_at
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.platform.hypothesis import (
    Hypothesis,
    Turn,
    TurnKind,
    carried_over,
)
from pourcoach.estimation.platform.scene import LOADED_G, Scene

# Hazards, a second.
TOUCH_PER_S = 0.04
TOUCH_ENDS_PER_S = 2.0
TARE_PER_S = 0.006
LIFT_PER_S = 0.01
# Of a scale that was commanded to tare, at each reading.
TOLD_TARE = 0.3
# How a touch or an outage ends, where the level is not what it was.
VESSEL_SHARE = 0.05
RETURN_SHARE = 0.35
EMPTY_SHARE = 0.1
FALL_SHARE = 0.2
BESIDE_SHARE = 0.1
WATER_SHARE = 0.15
WATER_POURING_SHARE = 0.5
# A touch reads near the weight, or anywhere on the scale, g.
TOUCH_WIDTH_G = 4.0
TOUCH_NEAR = 0.9
SCALE_RANGE_G = 1500.0
_NEAR = TOUCH_NEAR / (math.pi * TOUCH_WIDTH_G)
_FAR = (1.0 - TOUCH_NEAR) / SCALE_RANGE_G
# A hand that lets go in one step, or a tare in several.
ODD_SHAPE = 0.0005
SMEARS_TICKS = 100
NEWEST = 40
# A smaller jump is no vessel, and a smaller weight no tare that need be known.
LEAST_VESSEL_G = 3.0
LEAST_TARE_G = 0.6
LEAST_SURE_TARE_G = 3.0
LEAST_FALL_G = 0.6
# How near zero a scale tares itself; how near a level comes back after a hand or a vessel.
TARE_G = 0.3
BACK_G = 1.0
BACK_SHARE = 0.02
BESIDE_G = 0.5
# A brewer that is lifted weighs more than this; held, it loses or gets no more than that unseen.
LIFT_G = 15.0
DRIPS_G = 3.0
DRIPS_SHARE = 0.05
# The longest blow with a flat top.
BLOW_S = 2.0
# A hand seldom presses harder.
PRESS_G = 25.0
# No kettle gives more (common practice).
MOST_FLOW_GPS = 11.0
# Water does not leave: where it runs backwards by so much it is none.
BACKWARDS_GPS = -0.5
# How many are followed, how unlikely the least, and when one is taken for settled.
WIDTH = 6
LEAST_NATS = 22.0
SURE = 0.999
# One that nothing contradicts for so long is settled even if another cannot be ruled out.
LONGEST_TICKS = 1500
# A level that has only just come about may be the top of a blow.
STAYS_TICKS = {
    TurnKind.OFF: 0,
    TurnKind.BACK: 0,
    TurnKind.TARE: 100,
    TurnKind.VESSEL: 700,
    TurnKind.RETURN: 300,
    TurnKind.WATER: 300,
    TurnKind.FALL: 700,
}
# What has come back to a level, and has still to settle there, does so this probably.
LATE_SHARE = 0.05
# One that readings only pass through on their way is none.
FLEETING_TICKS = 150
# Two that differ by less are one; not where one has begun to move and may be ruled out by it.
SAME_G = 0.4
SAME_PROBABILITY = 0.3
_ROOT_TWO_PI = math.sqrt(2.0 * math.pi)


class Beam:
    """Follows the hypotheses of one stretch of readings."""

    __slots__ = (
        "_best",
        "_hypotheses",
        "_level_g",
        "_modes",
        "_newest",
        "_posterior",
        "_scene",
        "_ticks",
    )

    def __init__(
        self,
        state: FilterState,
        shift_g: Grams,
        tares_g: Grams,
        scene: Scene,
        *,
        unseen: bool = False,
    ) -> None:
        """Begins at the filter's state. ``unseen``: readings have been missing since then."""
        ticks = state.ticks
        self._modes = TwoModeFilter(ticks, state.level_g, state.level_var)
        self._scene = scene
        start = Hypothesis(0.0, False, ticks, state, shift_g, tares_g)
        if unseen:
            level_g = start.expected(ticks)[0]
            start = start.turned(0.0, Turn(ticks, TurnKind.OFF, shift_g, tares_g, level_g, 0.0))
        self._hypotheses = [start]
        self._best, self._posterior = start, 1.0
        self._ticks = ticks
        self._level_g = start.expected(ticks)[0]
        self._newest = deque([(ticks, self._level_g - shift_g)], maxlen=NEWEST)

    @property
    def best(self) -> Hypothesis:
        """The most likely now."""
        return self._best

    @property
    def posterior(self) -> float:
        """Its probability."""
        return self._posterior

    @property
    def settled(self) -> bool:
        """Whether nothing else is left that explains the readings."""
        best = self._best
        if best.off or best.path is None:
            return not best.off and self._posterior >= SURE
        if self._ticks - best.since_ticks < STAYS_TICKS[best.path.turn.kind]:
            return False
        return self._posterior >= SURE or self._ticks - best.since_ticks >= LONGEST_TICKS

    def take(self, ticks: int, reading_g: Grams, noise_var: float, *, told_tare: bool) -> None:
        """The next reading, as the scale gave it."""
        passed_s = (ticks - self._ticks) / TICKS_PER_S
        self._ticks = ticks
        found: list[Hypothesis] = []
        for one in self._hypotheses:
            if one.off:
                found += self._while_off(one, ticks, reading_g, noise_var, passed_s, told_tare)
            else:
                found += self._while_clear(one, ticks, reading_g, noise_var, passed_s, told_tare)
        self._prune(found)
        self._newest.append((ticks, reading_g))

    def _while_clear(
        self,
        one: Hypothesis,
        ticks: int,
        reading_g: Grams,
        noise_var: float,
        passed_s: float,
        told_tare: bool,
    ) -> Iterator[Hypothesis]:
        unbroken_g = reading_g + one.shift_g
        expected_g, flow_gps = one.expected(ticks)
        on = self._followed(one, ticks, unbroken_g, noise_var)
        if on is not None:
            likely, state = on
            yield one.weighed(one.log_p + math.log(likely), state)
        elif one.comes_to_rest(ticks, unbroken_g):
            state = state_at(ticks, unbroken_g, noise_var, 1e-3, one.state.drum_s2)
            yield one.weighed(one.log_p + math.log(LATE_SHARE), state)
        density = TOUCH_PER_S * max(passed_s, 0.01) * _touch(unbroken_g - expected_g)
        origin = one.origin
        if origin is not None and ticks - one.since_ticks <= FLEETING_TICKS:
            # It only passed through that level on its way.
            yield origin.weighed(one.log_p + math.log(density))
        else:
            turn = Turn(ticks, TurnKind.OFF, one.shift_g, one.tares_g, expected_g, 0.0)
            yield one.turned(one.log_p + math.log(density), turn)
        yield from self._tared(
            one, ticks, reading_g, noise_var, passed_s, flow_gps * passed_s, told_tare
        )
        if one.under is not None:
            # What came all at once and goes again was a blow with a flat top.
            going = one.log_p + math.log(TOUCH_ENDS_PER_S * max(passed_s, 0.01))
            yield from self._returned(one, going, ticks, reading_g, noise_var)

    def _while_off(
        self,
        one: Hypothesis,
        ticks: int,
        reading_g: Grams,
        noise_var: float,
        passed_s: float,
        told_tare: bool,
    ) -> Iterator[Hypothesis]:
        unbroken_g = reading_g + one.shift_g
        expected_g, _ = one.expected(ticks)
        ends = 1.0 - math.exp(-TOUCH_ENDS_PER_S * passed_s)
        density = (1.0 - ends) * _touch(unbroken_g - expected_g)
        if density > 0.0:
            yield one.weighed(one.log_p + math.log(density))
        ending = one.log_p + math.log(ends)
        yield from self._trimmed_end(one, ending, ticks, unbroken_g, noise_var)
        yield from self._tared(one, ticks, reading_g, noise_var, passed_s, 0.0, told_tare)
        yield from self._moved(one, ending, ticks, reading_g, noise_var)
        yield from self._rose_or_fell(one, ending, ticks, unbroken_g, noise_var)

    def _followed(
        self, one: Hypothesis, ticks: int, unbroken_g: Grams, noise_var: float
    ) -> tuple[float, FilterState] | None:
        """The density of a reading that shows the weight, and the filter after it."""
        modes = self._modes
        modes.restore(one.state)
        modes.update(ticks, unbroken_g, noise_var, NO_TOUCH)
        likely = modes.likelihood
        if likely < 1e-30 or modes.runs_backwards(BACKWARDS_GPS):
            return None
        return likely, modes.snapshot()

    def _trimmed_end(
        self, one: Hypothesis, ending: float, ticks: int, unbroken_g: Grams, noise_var: float
    ) -> Iterator[Hypothesis]:
        """The weight is where it was, or where water that ran on has brought it."""
        before_g = one.expected(one.state.ticks)[0]
        # What sloshes when water stops, or a spring that swings, leaves it a little beside.
        density = BESIDE_SHARE * _normal(unbroken_g - before_g, BESIDE_G * BESIDE_G + noise_var)
        if density > 1e-9:
            state = state_at(ticks, unbroken_g, noise_var, 1e-3, one.state.drum_s2)
            turn = Turn(ticks, TurnKind.BACK, one.shift_g, one.tares_g, unbroken_g, 0.0)
            yield one.turned(ending + math.log(density), turn, state)
        on = self._followed(one, ticks, unbroken_g, noise_var)
        if on is None:
            return
        likely, state = on
        rose = (unbroken_g - before_g + 0.3) / (math.sqrt(noise_var) + 0.1)
        likely *= 0.5 + 0.5 * math.erf(rose / math.sqrt(2.0)) + 1e-12
        turn = Turn(ticks, TurnKind.BACK, one.shift_g, one.tares_g, unbroken_g, 0.0)
        yield one.turned(ending + math.log(likely), turn, state)

    def _tared(
        self,
        one: Hypothesis,
        ticks: int,
        reading_g: Grams,
        noise_var: float,
        passed_s: float,
        ran_g: Grams,
        told_tare: bool,
    ) -> Iterator[Hypothesis]:
        """The scale has gone to zero, or all that stood on it is gone."""
        expected_g, _ = one.expected(ticks)
        stood_g = expected_g - one.shift_g
        falls = self._falls_to(reading_g)
        if abs(stood_g) < (LEAST_SURE_TARE_G if falls else LEAST_TARE_G):
            return
        variance = noise_var + TARE_G * TARE_G
        density = _normal(reading_g - 0.5 * ran_g, variance + 0.25 * ran_g * ran_g)
        if told_tare:
            # A hand may still lie on it.
            density = 0.7 * density + 0.3 * _NEAR / (1.0 + (reading_g / TOUCH_WIDTH_G) ** 2)
        if density < 1e-12:
            return
        # At rest zero is where the weight was; under the stream the weight goes on.
        shift_g = expected_g - (reading_g if abs(ran_g) > TARE_G else 0.0)
        change_g = one.shift_g - shift_g
        state = carried_over(one.state, ticks, expected_g, noise_var)
        share = TOLD_TARE if told_tare else TARE_PER_S * passed_s
        if falls and self._slides(stood_g):
            share *= ODD_SHAPE
        turn = Turn(ticks, TurnKind.TARE, shift_g, one.tares_g - change_g, expected_g, change_g)
        yield one.turned(one.log_p + math.log(share * density), turn, state)
        if self._scene.may_be_empty and not told_tare:
            # Off in one step is seldom a lift: its edge takes a quarter of a second.
            share = LIFT_PER_S * passed_s * (1.0 if one.off else EMPTY_SHARE)
            turn = Turn(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g)
            yield one.turned(one.log_p + math.log(share * density), turn, state)

    def _moved(
        self, one: Hypothesis, ending: float, ticks: int, reading_g: Grams, noise_var: float
    ) -> Iterator[Hypothesis]:
        """Something stands there that did not, or stands there no more; or as it did before."""
        expected_g, _ = one.expected(ticks)
        change_g = reading_g + one.shift_g - expected_g
        if change_g < -LIFT_G:
            expected_g = one.expected(one.state.ticks)[0]  # What is poured on misses the scale.
        if abs(change_g) < LEAST_VESSEL_G:
            return
        shift_g = expected_g - reading_g
        state = carried_over(one.state, ticks, expected_g, noise_var)
        turn = Turn(ticks, TurnKind.VESSEL, shift_g, one.tares_g, expected_g, change_g)
        yield one.turned(ending + math.log(VESSEL_SHARE / SCALE_RANGE_G), turn, state)
        yield from self._returned(one, ending, ticks, reading_g, noise_var)

    def _returned(
        self, one: Hypothesis, ending: float, ticks: int, reading_g: Grams, noise_var: float
    ) -> Iterator[Hypothesis]:
        """The platform is as it was before a vessel came or went, or before a jump of this path."""
        under = one.under
        if under is not None and under.lasted_s(ticks) < BLOW_S:
            going = ending + math.log(RETURN_SHARE)
            yield from self._trimmed_end(under, going, ticks, reading_g + under.shift_g, noise_var)
        expected_g, _ = one.expected(ticks)
        change_g = reading_g + one.shift_g - expected_g
        known = [(shift_g, self._level_g, by_g) for shift_g, by_g in self._scene.shifts]
        rests = [(g, level_g, 0.0) for level_g, g in self._scene.rests if g != one.shift_g]
        if self._lifted(one):
            # What is put back has its water in it: of each shift the newest level alone.
            rests = list({rest[0]: rest for rest in rests}.values())
        for before_g, level_g, by_g in (*known, *rests):
            width_g = BACK_G + BACK_SHARE * abs(by_g)
            off_g = reading_g + before_g - level_g
            density = RETURN_SHARE * _normal(off_g, width_g * width_g + noise_var)
            if not by_g:
                density *= math.exp(-abs(expected_g - level_g) / PRESS_G)
            if density < 1e-12:
                continue
            shift_g, back_g = before_g, reading_g + before_g
            if abs(off_g) > DRIPS_G:
                density *= DRIPS_SHARE
                shift_g, back_g = level_g - reading_g, level_g
            turn = Turn(ticks, TurnKind.RETURN, shift_g, one.tares_g, back_g, change_g)
            state = carried_over(one.state, ticks, back_g, noise_var + SAME_G**2)
            yield one.turned(ending + math.log(density), turn, state)

    def _rose_or_fell(
        self, one: Hypothesis, ending: float, ticks: int, unbroken_g: Grams, noise_var: float
    ) -> Iterator[Hypothesis]:
        """Water came unseen; or the weight is lower, and water does not leave."""
        before_g = one.expected(one.state.ticks)[0]
        rose_g = unbroken_g - before_g
        if self._lifted(one):
            return  # Nobody pours where something has just been taken away.
        pouring = one.state.pour_probability
        if rose_g > 0.0:
            most_g = MOST_FLOW_GPS * one.lasted_s(ticks)
            if rose_g < most_g + 0.5:
                share = WATER_SHARE + (WATER_POURING_SHARE - WATER_SHARE) * pouring
                state = state_at(
                    ticks, unbroken_g, noise_var, max(0.3, 0.5 * pouring), one.state.drum_s2
                )
                turn = Turn(ticks, TurnKind.WATER, one.shift_g, one.tares_g, unbroken_g, rose_g)
                yield one.turned(ending + math.log(share / (most_g + 0.5)), turn, state)
            return
        lower = [g for g, shift_g in self._scene.rests if abs(shift_g - one.shift_g) < SAME_G]
        if not lower or rose_g > -LEAST_FALL_G:
            return
        density = sum(_normal(unbroken_g - g, BACK_G * BACK_G + noise_var) for g in lower)
        density *= math.exp(rose_g / PRESS_G)
        least_g = min(lower)
        if least_g - BACK_G < unbroken_g:
            density += 0.25 / (before_g - least_g + BACK_G) * math.exp(2.0 * rose_g / PRESS_G)
        if not self._slides(before_g - one.shift_g) and abs(unbroken_g - one.shift_g) < BACK_G:
            density *= ODD_SHAPE
        if density > 1e-12:
            # The last of it may be to come: those that end so near each other are one.
            state = state_at(ticks, unbroken_g, noise_var + SAME_G**2, 1e-3, one.state.drum_s2)
            turn = Turn(ticks, TurnKind.FALL, one.shift_g, one.tares_g, unbroken_g, rose_g)
            yield one.turned(ending + math.log(FALL_SHARE * density), turn, state)

    def _slides(self, stood_g: Grams) -> bool:
        """Whether the readings have been on their way from a load to nothing for longer than a
        converter smears a step: a hand lets go bit by bit, a tare is one step."""
        low, high = sorted((0.05 * stood_g, 0.9 * stood_g))
        beyond = high if stood_g > 0.0 else low
        arrived_ticks, between = self._ticks, False
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

    def _prune(self, found: Sequence[Hypothesis]) -> None:
        """Keep the likely ones, one of each kind, and weigh them against each other."""
        kept: list[Hypothesis] = []
        weights: list[float] = []
        ranked = sorted(found, key=lambda one: -one.log_p)
        top = ranked[0].log_p
        for one in ranked:
            if one.log_p < top - LEAST_NATS:
                break
            weight = math.exp(one.log_p - top)
            for index, other in enumerate(kept):
                if _alike(one, other):
                    weights[index] += weight
                    break
            else:
                if len(kept) < WIDTH:
                    kept.append(one)
                    weights.append(weight)
        total = sum(weights)
        self._hypotheses = [
            one.weighed(math.log(weight / total)) for one, weight in zip(kept, weights, strict=True)
        ]
        place = max(range(len(weights)), key=weights.__getitem__)
        self._best, self._posterior = self._hypotheses[place], weights[place] / total


def _alike(one: Hypothesis, other: Hypothesis) -> bool:
    """Whether they differ by nothing that a later reading could show."""
    return (
        one.off is other.off
        and abs(one.shift_g - other.shift_g) < SAME_G
        and abs(one.tares_g - other.tares_g) < SAME_G
        and abs(one.state.level_g - other.state.level_g) < SAME_G
        and abs(one.state.x[0] - other.state.x[0]) < SAME_G
        and abs(one.state.pour_probability - other.state.pour_probability) < SAME_PROBABILITY
    )


def _touch(off_g: Grams) -> float:
    """Density of a touch that is off by so much."""
    share = off_g / TOUCH_WIDTH_G
    return _NEAR / (1.0 + share * share) + _FAR


def _normal(off_g: Grams, variance: float) -> float:
    return math.exp(-0.5 * off_g * off_g / variance) / (_ROOT_TWO_PI * math.sqrt(variance))
