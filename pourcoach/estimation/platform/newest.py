"""The newest readings, from which a step can be distinguished from a slide."""

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
# A hand takes between these times to let go (common practice); a slow scale may miss all of it.
QUICKLY_S = 0.08
SLOWLY_S = 0.4
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
        at_once = abs(now.reading_g) < BACK_G and not self.slides(now.ticks, stood_g)
        return max(_missed(now.passed_s), ODD_SHAPE) if at_once else 1.0

    def slides(self, now_ticks: int, stood_g: Grams) -> bool:
        """Whether the readings went from a load to zero more slowly than a converter smears a
        step: a hand lets go gradually, a tare is one step."""
        if abs(stood_g) < BACK_G:
            return True  # Of so little no step can be seen.
        sign = 1.0 if stood_g > 0.0 else -1.0
        # Where water has run meanwhile, no reading has shown all of what it stood at last.
        load_g = min(sign * stood_g, max(sign * grams for _, grams in self._readings))
        if load_g < BACK_G:
            return False
        arrived_ticks, between = now_ticks, False
        for ticks, grams in reversed(self._readings):
            above_g = sign * grams
            if 0.05 * load_g < above_g < 0.9 * load_g:
                between = True
            elif between or above_g > 0.5 * load_g:
                return between and arrived_ticks - ticks > SMEARS_TICKS
            else:
                arrived_ticks = ticks
        return between


def _missed(passed_s: Seconds) -> float:
    """The share of hands that let go between two readings so far apart, so that none shows it: of
    one that takes ``lasts_s`` that is ``1 - lasts_s / passed_s``, and any time is as likely."""
    longest_s = min(passed_s, SLOWLY_S)
    if longest_s <= QUICKLY_S:
        return 0.0
    mean_s = 0.5 * (longest_s + QUICKLY_S)
    return (longest_s - QUICKLY_S) * (1.0 - mean_s / passed_s) / (SLOWLY_S - QUICKLY_S)
