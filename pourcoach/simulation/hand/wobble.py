"""How a hand's flow wanders: two models, so that no filter is judged by its own likeness.

Both have mean 0 and variance 1 at every moment; the hand scales them.
"""

import math
from enum import Enum
from random import Random
from typing import Protocol

from pourcoach.domain.units import Hertz, Seconds
from pourcoach.simulation.minimum_jerk import minimum_jerk
from pourcoach.simulation.scale.oscillator import transition


class Wobble(Protocol):
    """A random process of mean 0 and variance 1, one value a step."""

    def step(self) -> float:
        """The next value."""
        ...


class WobbleKind(Enum):
    """Which model a hand's flow follows."""

    OSCILLATOR = "oscillator"
    STROKES = "strokes"


def wobble(kind: WobbleKind, hz: Hertz, damping: float, step_s: Seconds, chance: Random) -> Wobble:
    """A wander of either kind about ``hz``; only the oscillator uses the damping ratio."""
    if kind is WobbleKind.OSCILLATOR:
        return OscillatingWobble(hz, damping, step_s, chance)
    return StrokeWobble(hz, step_s, chance)


class OscillatingWobble:
    """A damped oscillator shaken by white noise: a narrow band about ``hz``."""

    def __init__(self, hz: Hertz, damping: float, step_s: Seconds, chance: Random) -> None:
        omega = 2 * math.pi * hz
        self._gauss = chance.gauss
        self._move = xx, xv, vx, vv = transition(hz, damping, step_s)
        # What keeps the stationary covariance diag(1, ω²): Q = P - F P Fᵀ, here as its Cholesky.
        q_xx = 1 - xx**2 - (omega * xv) ** 2
        q_xv = -xx * vx - omega**2 * xv * vv
        q_vv = omega**2 - vx**2 - (omega * vv) ** 2
        self._shake_x = math.sqrt(q_xx)
        self._shake_xv = q_xv / self._shake_x
        self._shake_v = math.sqrt(max(q_vv - self._shake_xv**2, 0.0))
        self._x = chance.gauss(0, 1)
        self._v = chance.gauss(0, omega)

    def step(self) -> float:
        xx, xv, vx, vv = self._move
        first, second = self._gauss(0, 1), self._gauss(0, 1)
        x = xx * self._x + xv * self._v + self._shake_x * first
        self._v = vx * self._x + vv * self._v + self._shake_xv * first + self._shake_v * second
        self._x = x
        return x


class StrokeWobble:
    """Strokes of random length, each reaching for a level not unlike the last one's.

    No oscillator and not Gaussian: levels are held, left in reaches, now and then in a step.
    Lengths are 0.3 to 1.7 of a half wave of ``hz``.
    """

    _LIKENESS = 0.4
    """Correlation of one level with the next."""
    _REACHING = 0.6
    """Share of a stroke spent on the way to its level."""
    _STEPS = 0.15
    """Share of strokes whose level is there at once."""

    def __init__(self, hz: Hertz, step_s: Seconds, chance: Random) -> None:
        self._chance = chance
        self._step_s = step_s
        self._half_wave_s = 0.5 / hz
        # On the way the variance is that of (1-r) a + r b. With ∫r² = 181/462 for the
        # minimum-jerk reach r, its mean is 362/462 + 2 c (1/2 - 181/462), c the likeness.
        on_the_way = 362 / 462 + 2 * self._LIKENESS * (0.5 - 181 / 462)
        reaching = self._REACHING * (1 - self._STEPS)
        self._size = 1 / math.sqrt(1 - reaching * (1 - on_the_way))
        self._level = chance.gauss(0, 1)
        self._lasts_s = 0.0
        self._begin()
        self._gone_s = chance.uniform(0, self._lasts_s)

    def _begin(self) -> None:
        self._from = self._level
        fresh = math.sqrt(1 - self._LIKENESS**2)
        self._level = self._LIKENESS * self._level + fresh * self._chance.gauss(0, 1)
        self._gone_s = 0.0
        self._lasts_s = self._half_wave_s * self._chance.uniform(0.3, 1.7)
        at_once = self._chance.random() < self._STEPS
        self._reaches_s = 0.0 if at_once else self._REACHING * self._lasts_s

    def step(self) -> float:
        self._gone_s += self._step_s
        if self._gone_s > self._lasts_s:
            self._begin()
        done = minimum_jerk(self._gone_s / self._reaches_s) if self._reaches_s else 1.0
        return self._size * (self._from + (self._level - self._from) * done)
