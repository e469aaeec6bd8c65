"""Readings made for tests, seeded."""

import random
from collections.abc import Callable

from pourcoach.domain.inputs import Reading


def readings(
    seconds: float,
    grams: Callable[[float], float] | float,
    *,
    hz: float = 10.0,
    noise_g: float = 0.0,
    step_g: float = 0.0,
    seed: int = 1,
    start_s: float = 0.0,
) -> list[Reading]:
    chance = random.Random(seed)
    made = []
    for number in range(round(seconds * hz)):
        t_s = start_s + number / hz
        value = grams(t_s) if callable(grams) else grams
        value += chance.gauss(0, noise_g)
        made.append(Reading(t_s, round(value / step_g) * step_g if step_g else value))
    return made
