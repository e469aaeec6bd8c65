"""A log of a hand on a scale: what it does, each as a weight over time.

Invented from what the acts are: a hand that rests holds a weight that wanders slowly, and trembles
(physiological tremor is said to lie at 8 to 12 Hz and within a few percent of the force; from
memory); one that presses grows and goes within a second or two; fingers that drum give a run of
short blows and rest in between.
"""

from collections.abc import Callable

import numpy as np

Weight = Callable[[np.ndarray], np.ndarray]
TREMOR_HZ = 10.0
TREMOR_SHARE = 0.02
WANDER_SHARE = 0.1


def _held(at_s: float, up_s: float, hold_s: float, down_s: float, grams: float) -> Weight:
    knots = np.cumsum([at_s, up_s, hold_s, down_s])

    def weight(times: np.ndarray) -> np.ndarray:
        share = np.interp(times, knots, [0.0, 1.0, 1.0, 0.0])
        smooth = share * share * (3.0 - 2.0 * share)
        tremor = TREMOR_SHARE * np.sin(2.0 * np.pi * TREMOR_HZ * times)
        slow = np.sin(2.0 * np.pi * 0.23 * times + at_s) + np.sin(2.0 * np.pi * 0.61 * times)
        return grams * smooth * (1.0 + tremor + WANDER_SHARE * slow)

    return weight


def rests(at_s: float, lasts_s: float, grams: float) -> Weight:
    """A hand is laid on the platform and stays for a while."""
    return _held(at_s, 0.4, lasts_s - 0.9, 0.5, grams)


def presses(at_s: float, up_s: float, hold_s: float, down_s: float, grams: float) -> Weight:
    """A hand presses harder and harder, holds, and lets go."""
    return _held(at_s, up_s, hold_s, down_s, grams)


def drums(at_s: float, rounds: int, grams: float) -> Weight:
    """Four fingers, one after the other, again and again."""
    taps_s = [at_s + 0.45 * turn + 0.09 * finger for turn in range(rounds) for finger in range(4)]

    def weight(times: np.ndarray) -> np.ndarray:
        total = np.zeros_like(times)
        for place, tap_s in enumerate(taps_s):
            phase = (times - tap_s) / 0.06
            blow = np.sin(np.pi * np.clip(phase, 0.0, 1.0))
            total += grams * (1.0 - 0.2 * (place % 4)) * blow
        return total

    return weight


def props(at_s: float, lasts_s: float, grams: float) -> Weight:
    """Somebody props himself up: slowly more, and slowly less."""
    return _held(at_s, 0.4 * lasts_s, 0.2 * lasts_s, 0.4 * lasts_s, grams)


LOG: dict[str, tuple[Weight, ...]] = {
    "rests lightly": (rests(18.0, 4.0, 6.0),),
    "rests for long": (rests(17.0, 14.0, 22.0),),
    "rests twice": (rests(17.0, 5.0, 12.0), rests(26.0, 6.0, 15.0)),
    "presses": (presses(22.0, 0.8, 1.2, 0.6, 25.0),),
    "presses hard": (presses(22.0, 1.6, 2.5, 0.9, 60.0),),
    "presses as slowly as a bloom": (presses(19.0, 5.0, 1.0, 1.2, 30.0),),
    "presses and rests": (presses(20.0, 1.2, 1.0, 0.8, 18.0), rests(25.0, 6.0, 9.0)),
    "presses three times": tuple(presses(17.0 + 5.0 * n, 0.9, 1.3, 0.5, 14.0) for n in range(3)),
    "drums lightly": (drums(20.0, 4, 8.0),),
    "drums hard": (drums(20.0, 8, 40.0),),
    "drums while resting": (rests(19.0, 8.0, 10.0), drums(22.0, 5, 15.0)),
    "props itself up": (props(19.0, 6.0, 12.0),),
}
"""What a hand does between 16 and 36 s, by name."""
