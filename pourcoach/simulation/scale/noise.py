"""The scale's own noise: fast, and the slow kind whose power rises as frequency falls."""

import math
from random import Random

from pourcoach.domain.units import Grams, Seconds

# A sum of relaxations whose times are spread evenly over decades has a 1/f spectrum between
# them (van der Ziel 1950; from memory). Half decades from a twentieth of a second to a minute.
_TIMES_S = tuple(0.05 * 10 ** (step / 2) for step in range(7))


class Noise:
    """Drawn once a conversion, ``period_s`` apart; deviations are those of one reading.

    The fast part is white, or a first-order autoregression where ``lag_1``, its correlation from
    one reading to the next, is not 0.
    """

    def __init__(
        self,
        fast_g: Grams,
        flicker_g: Grams,
        period_s: Seconds,
        chance: Random,
        lag_1: float = 0.0,
    ) -> None:
        self._gauss = chance.gauss
        self._lag_1 = lag_1
        self._fresh_g = fast_g * math.sqrt(1 - lag_1**2)
        self._fast_g = 0.0
        each_g = flicker_g / math.sqrt(len(_TIMES_S))
        keeps = [math.exp(-period_s / time_s) for time_s in _TIMES_S]
        self._relaxing = [(keep, each_g * math.sqrt(1 - keep**2)) for keep in keeps]
        self._levels = [chance.gauss(0, each_g) for _ in _TIMES_S]

    def step(self) -> Grams:
        """The noise of the next reading."""
        gauss = self._gauss
        levels = self._levels
        for index, (keep, fresh_g) in enumerate(self._relaxing):
            levels[index] = keep * levels[index] + gauss(0, fresh_g)
        # fsum, because sum rounds otherwise from Python 3.12 on, and seeds must keep their brews.
        self._fast_g = self._lag_1 * self._fast_g + gauss(0, self._fresh_g)
        return math.fsum(levels) + self._fast_g
