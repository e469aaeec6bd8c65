"""What the scale showed last, as far as its course distinguishes a step from a slide."""

from collections import deque

from pourcoach.domain.units import Grams
from pourcoach.estimation.platform.following import Moment
from pourcoach.estimation.platform.hypothesis import BACK_G

# So many are kept.
NEWEST = 40
# What is set down or taken away is on its way, or swings, while the readings go by more than this
# from one to the next within so long; it seldom happens to stay where it is just then.
MOVES_G = 1.0
MOVES_TICKS = 60
MOVING_SHARE = 0.02
# A hand that lets go in one step, or a tare in several.
ODD_SHAPE = 0.0005
SMEARS_TICKS = 100


class Newest:
    """The newest readings, as the scale gave them."""

    __slots__ = ("_readings",)

    def __init__(self, ticks: int, grams: Grams) -> None:
        """``grams``: what the scale showed before the first that is asked about."""
        self._readings = deque([(ticks, grams)], maxlen=NEWEST)

    def passed(self, now: Moment) -> None:
        """All has been asked about this reading."""
        self._readings.append((now.ticks, now.reading_g))

    @property
    def grams(self) -> Grams:
        """What the scale showed last."""
        return self._readings[-1][1]

    def still(self, now: Moment) -> float:
        """How probably the level that a fast scale shows is one to stay, for all that the reading
        before shows."""
        ticks, grams = self._readings[-1]
        moving = now.ticks - ticks < MOVES_TICKS and abs(now.reading_g - grams) > MOVES_G
        return MOVING_SHARE if moving else 1.0

    def let_go(self, now: Moment, stood_g: Grams) -> float:
        """How probably a hand would let the readings go so from where they stood: to zero in one
        step a tare brings them."""
        at_once = abs(now.reading_g) < BACK_G and not self.slides(now.ticks, stood_g)
        return ODD_SHAPE if at_once else 1.0

    def slides(self, now_ticks: int, stood_g: Grams) -> bool:
        """Whether the readings have been on their way from a load to nothing for longer than a
        converter smears a step: a hand lets go bit by bit, a tare is one step."""
        low, high = sorted((0.05 * stood_g, 0.9 * stood_g))
        beyond = high if stood_g > 0.0 else low
        arrived_ticks, between = now_ticks, False
        for ticks, grams in reversed(self._readings):
            if low < grams < high:
                between = True
            elif between or (grams < beyond) is (stood_g < 0.0):
                return between and arrived_ticks - ticks > SMEARS_TICKS
            else:
                arrived_ticks = ticks
        return between
