"""The newest readings, from which a step can be distinguished from a slide."""

import math
from collections import deque

from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.platform.following import Moment
from pourcoach.estimation.platform.hypothesis import BACK_G

# How many are kept.
NEWEST = 40
# While one reading differs from the next by more than this within so short a time, what is set down
# or taken away still moves or swings; the level then is seldom the one that stays.
MOVES_G = 1.0
MOVES_TICKS = 60
MOVING_SHARE = 0.02
# The share of hands that let go in one step of a fast scale, and of tares that take several.
ODD_SHAPE = 0.0005
# A scale's software sets its zero at once; few smooth the figures after that (assumed).
SMEARED_SHARE = 0.1
# A hand takes between these times to let go (common practice); a slow scale may miss all of it.
QUICKLY_S = 0.08
SLOWLY_S = 0.4
# A load counts as on its way between these shares of it. A hand that lets go smoothly, by half a
# wave of a cosine, takes this part of its time from the one to the other.
ARRIVED_SHARE, LEAVES_SHARE = 0.05, 0.9
SEEN_SHARE = 0.65
SMEARS_TICKS = 100


class Newest:
    """The newest readings, as the scale gave them."""

    __slots__ = ("_readings",)

    def __init__(self, ticks: int, grams: Grams) -> None:
        """``grams``: what the scale showed before the first of them."""
        self._readings = deque([(ticks, grams)], maxlen=NEWEST)

    def passed(self, now: Moment) -> None:
        """Take the reading once all hypotheses have."""
        self._readings.append((now.ticks, now.reading_g))

    @property
    def grams(self) -> Grams:
        """What the scale showed last."""
        return self._readings[-1][1]

    def still(self, now: Moment) -> float:
        """The probability that this level stays, as far as the reading before shows."""
        ticks, grams = self._readings[-1]
        moving = now.ticks - ticks < MOVES_TICKS and abs(now.reading_g - grams) > MOVES_G
        return MOVING_SHARE if moving else 1.0

    def let_go(self, now: Moment, stood_g: Grams) -> float:
        """The probability that a hand lets the readings go like this from where they stood: a tare
        brings them to zero in one step."""
        at_once = abs(now.reading_g) < BACK_G and self._took_ticks(now.ticks, stood_g) == 0
        return max(missed(now.passed_s), ODD_SHAPE) if at_once else 1.0

    def steps(self, now_ticks: int, stood_g: Grams) -> float:
        """The share of tares that let the readings go like this from a load to zero: in one step,
        unless a converter smears it."""
        took_ticks = self._took_ticks(now_ticks, stood_g)
        if took_ticks == 0:
            return 1.0
        return SMEARED_SHARE if took_ticks <= SMEARS_TICKS else ODD_SHAPE

    def _took_ticks(self, now_ticks: int, stood_g: Grams) -> float:
        """How long the readings took to go from a load to zero, as far as any was seen on its way;
        0 where none was."""
        if abs(stood_g) < BACK_G:
            return math.inf  # Of so little no step can be seen.
        sign = 1.0 if stood_g > 0.0 else -1.0
        # Where water has run meanwhile, no reading has shown all of what it stood at last.
        load_g = min(sign * stood_g, max(sign * grams for _, grams in self._readings))
        if load_g < BACK_G:
            return 0
        arrived_ticks, between = now_ticks, False
        for ticks, grams in reversed(self._readings):
            above_g = sign * grams
            if ARRIVED_SHARE * load_g < above_g < LEAVES_SHARE * load_g:
                between = True
            elif between or above_g > 0.5 * load_g:
                return arrived_ticks - ticks if between else 0
            else:
                arrived_ticks = ticks
        return math.inf if between else 0


def missed(passed_s: Seconds) -> float:
    """The share of hands that let go between two readings so far apart, so that none shows it: of
    one that is seen on its way for ``seen_s`` that is ``1 - seen_s / passed_s``, and any time is as
    likely."""
    least_s, most_s = SEEN_SHARE * QUICKLY_S, SEEN_SHARE * SLOWLY_S
    longest_s = min(passed_s, most_s)
    if longest_s <= least_s:
        return 0.0
    mean_s = 0.5 * (longest_s + least_s)
    return (longest_s - least_s) * (1.0 - mean_s / passed_s) / (most_s - least_s)
