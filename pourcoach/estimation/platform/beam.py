"""What has happened since the readings last made sense: a beam of hypotheses, one likelihood.

While all is well there is one hypothesis and the two-mode filter is it. At a reading that neither
rest nor water explains, after an outage, or where the weight falls, a beam opens: each hypothesis
is a path through the states of the platform (``TurnKind``) with a filter of its own, and is weighed
by the density of every reading under it. It is settled once one is left.

A switching state-space model (Kim 1994, J. Econometrics 60:1) whose beam is pruned by likelihood,
as in multiple hypothesis tracking (Reid 1979, IEEE Trans. Automatic Control 24:843).
"""

import math
from collections.abc import Iterator, Sequence
from operator import attrgetter

from pourcoach.domain.units import Grams
from pourcoach.estimation.filter.filter_state import FilterState
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.platform.following import (
    KNOWN_FLOW_VAR,
    NEAR_DENSITY,
    Following,
    Moment,
    going_on,
    touch_density,
)
from pourcoach.estimation.platform.hypothesis import SAME_G, Hypothesis, Turn, TurnKind
from pourcoach.estimation.platform.jumps import Jumps
from pourcoach.estimation.platform.newest import Newest
from pourcoach.estimation.platform.put_back import PutBack
from pourcoach.estimation.platform.scene import Scene
from pourcoach.estimation.platform.tares import Tares

# Hazards, per second.
TOUCH_PER_S = 0.04
TOUCH_ENDS_PER_S = 2.0
# A hand that begins to press looks like water that begins, and what is no water soon after is
# seldom a second event (chosen).
PRESSED_SHARE = 0.03
# How many are followed, how unlikely the least likely may be, and from which probability on the
# best one is settled.
WIDTH = 6
# Of these so many at most say that the readings show nothing: accounts that wait for a touch to end
# must not crowd out the first that says where it ended.
MOST_OFF = 4
LEAST_NATS = 22.0
SURE = 0.999
# A hypothesis that nothing contradicts for this long is settled even if another is possible.
LONGEST_TICKS = 1500
# Hypotheses that have agreed on the weight for this long, to within what nobody would notice in a
# cup, need not be distinguished any longer; those less likely than the last value do not count.
AGREE_TICKS = 500
AGREE_G = 1.0
LIKELY_NATS = math.log(1.0 - SURE)
# A level this new may be the top of a knock.
STAYS_TICKS = {
    TurnKind.OFF: 0,
    TurnKind.BACK: 0,
    TurnKind.TARE: 100,
    TurnKind.VESSEL: 700,
    TurnKind.RETURN: 300,
    TurnKind.WATER: 300,
    TurnKind.FALL: 700,
    TurnKind.STREAM: 300,
}
# The share of weights back at a level that have yet to settle there.
LATE_SHARE = 0.05
# The probability that what comes is another thing, where it may be what was taken away (chosen).
ANOTHER_SHARE = 1e-3
# A level that readings pass through within this time is none.
FLEETING_TICKS = 150
# Hypotheses are not one where one of them has begun to move and may be ruled out by it.
SAME_PROBABILITY = 0.3


class Beam:
    """Follows the hypotheses of one stretch of readings."""

    __slots__ = (
        *("_best", "_following", "_hypotheses", "_jumps", "_led_ticks"),
        *("_newest", "_posterior", "_put_back", "_tares", "_ticks"),
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
        start = Hypothesis(0.0, False, ticks, state, shift_g, tares_g)
        level_g = start.expected(ticks)[0]
        self._following = Following(state)
        self._newest = Newest(ticks, level_g - shift_g)
        self._jumps, self._tares = Jumps(self._newest, scene), Tares(self._newest, scene)
        self._put_back = PutBack(state, level_g, shift_g, scene, self._following)
        if unseen:
            start = start.turned(0.0, Turn(ticks, TurnKind.OFF, shift_g, tares_g, level_g, 0.0))
        self._hypotheses = [start]
        self._best, self._posterior = start, 1.0
        self._ticks = self._led_ticks = ticks

    @property
    def best(self) -> Hypothesis:
        """The most likely now."""
        return self._best

    @property
    def posterior(self) -> float:
        """Its probability."""
        return self._posterior

    def spread(self) -> tuple[float, float]:
        """How far the hypotheses lie from the best, each as likely as it is: mean squares of the
        unbroken weight, g², and of the flow, (g/s)²."""
        mass_g, flow_gps = self._best.expected(self._ticks)
        mass_var = flow_var = 0.0
        for one in self._hypotheses:
            other_g, other_gps = one.expected(self._ticks)
            probability = math.exp(one.log_p)
            mass_var += probability * (other_g - mass_g) ** 2
            flow_var += probability * (other_gps - flow_gps) ** 2
        return mass_var, flow_var

    @property
    def tared(self) -> float:
        """The probability that the scale has tared itself since it opened."""
        return sum(math.exp(one.log_p) for one in self._hypotheses if one.tared_g())

    @property
    def led_anew(self) -> bool:
        """Whether the newest reading has made another path the most likely."""
        return self._led_ticks == self._ticks

    @property
    def settled(self) -> bool:
        """Whether nothing else is left that explains the readings."""
        best, since_ticks = self._best, self._led_ticks
        if best.off:
            return False
        if best.path is not None:
            since_ticks = best.since_ticks
            if self._ticks - since_ticks < STAYS_TICKS[best.path.turn.kind]:
                return False
        lasts_ticks = self._ticks - since_ticks
        # No later reading could rule out a small tare under a stream.
        return (
            self._posterior >= SURE
            or lasts_ticks >= LONGEST_TICKS
            or (lasts_ticks >= AGREE_TICKS and self._agree())
        )

    def _agree(self) -> bool:
        """Whether all that may be so comes to about the same weight."""
        best = self._best
        return all(
            not one.off
            and abs(one.shift_g - best.shift_g) < AGREE_G
            and abs(one.tares_g - best.tares_g) < AGREE_G
            for one in self._hypotheses
            if one.log_p > LIKELY_NATS
        )

    def take(self, ticks: int, reading_g: Grams, noise_var: float, *, commanded_tare: bool) -> None:
        """The next reading, as the scale gave it."""
        passed_s = (ticks - self._ticks) / TICKS_PER_S
        self._ticks = ticks
        now = Moment(ticks, reading_g, noise_var, passed_s, commanded_tare)
        found: list[Hypothesis] = []
        for one in self._hypotheses:
            found += self._while_off(one, now) if one.off else self._while_clear(one, now)
        self._prune(found)
        self._newest.passed(now)

    def _while_clear(self, one: Hypothesis, now: Moment) -> Iterator[Hypothesis]:
        ticks, noise_var, passed_s = now.ticks, now.noise_var, now.passed_s
        unbroken_g = now.reading_g + one.shift_g
        expected_g, flow_gps = one.expected(ticks)
        on = self._following.followed(one, now)
        if on is not None:
            likely, state = on
            yield one.weighed(one.log_p + math.log(likely), state)
        yield from self._following.streamed(one, now)
        if one.comes_to_rest(ticks, unbroken_g):
            yield one.settled_later(math.log(LATE_SHARE), ticks, unbroken_g, noise_var)
        density = TOUCH_PER_S * max(passed_s, 0.01) * touch_density(unbroken_g - expected_g)
        origin = one.origin
        fleeting = origin is not None and ticks - one.since_ticks <= FLEETING_TICKS
        tared = one.path is not None and one.path.turn.kind is TurnKind.TARE
        if tared and now.commanded_tare:
            fleeting = False  # A hand may lie on it meanwhile, and goes on moving.
        if origin is not None and fleeting:
            # It only passed through that level.
            yield origin.weighed(one.log_p + math.log(density))
        if tared or not fleeting:
            # The scale may as well be at its new zero, and this be a spike.
            turn = Turn(ticks, TurnKind.OFF, one.shift_g, one.tares_g, expected_g, 0.0)
            yield one.turned(one.log_p + math.log(density), turn)
        if on is None or on[0] < NEAR_DENSITY:
            yield from self._pressed(one, now)
            yield from self._jumps.let_go(one, now)
        yield from self._tares.tared(one, now, flow_gps)
        if one.under is not None:
            # What came all at once and goes again was a knock with a flat top.
            going = one.log_p + math.log(TOUCH_ENDS_PER_S * max(passed_s, 0.01))
            going += math.log(self._newest.still(now))
            yield from self._put_back.returned(one, going, now)

    def _pressed(self, one: Hypothesis, now: Moment) -> Iterator[Hypothesis]:
        """What was taken for the beginning of water was the beginning of a touch."""
        if one.rested is None or one.state.p[4] < KNOWN_FLOW_VAR:
            return
        since_ticks, rested = one.rested
        level_g = rested.expected(since_ticks)[0]
        density = PRESSED_SHARE * touch_density(now.reading_g + one.shift_g - level_g)
        density *= self._newest.let_go(now, one.expected(now.ticks)[0] - one.shift_g)
        turn = Turn(
            *(since_ticks, TurnKind.OFF, one.shift_g, one.tares_g, level_g, 0.0), pouring=True
        )
        yield rested.turned(one.log_p + math.log(density), turn)

    def _while_off(self, one: Hypothesis, now: Moment) -> Iterator[Hypothesis]:
        expected_g, flow_gps = one.expected(now.ticks)
        ends = 1.0 - math.exp(-TOUCH_ENDS_PER_S * now.passed_s)
        off_g = now.reading_g + one.shift_g - expected_g
        density = (1.0 - ends) * going_on(off_g, now.reading_g - self._newest.grams)
        if density > 0.0:
            yield one.weighed(one.log_p + math.log(density))
        ending = one.log_p + math.log(ends)
        goes = ending
        if one.path is not None and one.path.turn.pouring:
            goes += math.log(self._newest.let_go(now, self._newest.grams))
        yield from self._following.came_back(one, goes, now)
        yield from self._tares.tared(one, now, flow_gps)
        still = ending + math.log(self._newest.still(now))
        if not self._jumps.stays(one, now):
            back = self._put_back.may_be_back(one, now)
            another = still + math.log(ANOTHER_SHARE) if back else still
            yield from self._jumps.moved(one, another, now)
            yield from self._put_back.returned(one, still, now)
        yield from self._tares.let_go(one, still, now)
        yield from self._jumps.rose(one, ending, now)
        yield from self._jumps.fell(one, still, now)

    def _prune(self, found: Sequence[Hypothesis]) -> None:
        """Keep the likely ones, one of each kind, and weigh them against each other."""
        kept: list[Hypothesis] = []
        weights: list[float] = []
        ranked = sorted(found, key=lambda one: -one.log_p)
        top = ranked[0].log_p
        off_left = MOST_OFF
        # Accounts in which water rushed before the touch must not crowd out the touch alone.
        first_off = min(
            (one for one in ranked if one.off), key=attrgetter("since_ticks"), default=None
        )
        for one in ranked:
            if one.log_p < top - LEAST_NATS:
                break
            weight = math.exp(one.log_p - top)
            for index, other in enumerate(kept):
                if _alike(one, other):
                    weights[index] += weight
                    break
            else:
                if (len(kept) < WIDTH and (off_left > 0 or not one.off)) or one is first_off:
                    kept.append(one)
                    weights.append(weight)
                    off_left -= one.off
        total = sum(weights)
        self._hypotheses = [
            one.weighed(math.log(weight / total)) for one, weight in zip(kept, weights, strict=True)
        ]
        place = max(range(len(weights)), key=weights.__getitem__)
        best = self._hypotheses[place]
        if best.path is not self._best.path:
            self._led_ticks = self._ticks
        self._best, self._posterior = best, weights[place] / total


def _alike(one: Hypothesis, other: Hypothesis) -> bool:
    """Whether no later reading could distinguish them."""
    return (
        one.off is other.off
        and abs(one.shift_g - other.shift_g) < SAME_G
        and abs(one.tares_g - other.tares_g) < SAME_G
        and abs(one.state.level_g - other.state.level_g) < SAME_G
        and abs(one.state.x[0] - other.state.x[0]) < SAME_G
        and abs(one.state.pour_probability - other.state.pour_probability) < SAME_PROBABILITY
    )
