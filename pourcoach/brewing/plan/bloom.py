"""How long to let the bloom stand: a rule of thumb, bounded, and labelled as one.

No published law links roast or days off roast to seconds of bloom. What is known is only the
direction: coffee gives off its gas for weeks after roasting (Shimoni & Labuza 2000), so fresher
coffee holds more; practice waits longer for fresher coffee, lighter roasts and larger brews.
The rule moves by whole steps of five seconds, so that each is seen in the plan, whose pours start
on whole fives, and never leaves 15-45 s (common practice).
"""

import math
from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.units import Grams, Seconds

# Bloom time of 15-30 s as a general rule, longer for lighter, fresher and larger brews: common
# practice, no published source. How much longer, and from which day or dose on, is this program's
# own rule of thumb.
LEAST_WAIT_S = 15.0
MOST_WAIT_S = 45.0
_USUAL_WAIT_S = 25.0
_STEP_S = 5.0
BEAT_S = 5.0
"""Starts that the rule chooses fall on whole fives, so that they can be kept in mind."""
_FRESH_BEFORE_DAYS = 7.0
_RESTED_AFTER_DAYS = 21.0
_OLD_AFTER_DAYS = 42.0
_LARGE_FROM_G = 30.0


def on_beat(seconds: Seconds) -> Seconds:
    """The nearest beat; the later one where two are as near, so that equal steps stay equal."""
    return BEAT_S * math.floor(seconds / BEAT_S + 0.5)


class Roast(Enum):
    """How dark the coffee is roasted."""

    LIGHT = "light"
    MEDIUM = "medium"
    DARK = "dark"


@dataclass(frozen=True, slots=True)
class BloomWait:
    """How long to wait once the bloom water is in, and why."""

    wait_s: Seconds
    reasons: tuple[str, ...]
    """Plain phrases, the base first; their seconds add up to ``wait_s``, which the last says."""


def bloom_wait(
    dose_g: Grams,
    poured_s: Seconds,
    roast: Roast | None = None,
    days_off_roast: float | None = None,
) -> BloomWait:
    """The rule of thumb, for a bloom that takes ``poured_s`` to pour. What is None moves nothing.

    Never rises with days off roast; never falls from dark to light or with the dose.
    """
    wait_s = _USUAL_WAIT_S
    reasons = [
        f"{_USUAL_WAIT_S:g} s to begin with (rule of thumb, bounded to "
        f"{LEAST_WAIT_S:g}-{MOST_WAIT_S:g} s; no published source)"
    ]

    def move(by_s: Seconds, why: str) -> None:
        nonlocal wait_s
        if by_s:
            wait_s += by_s
            reasons.append(f"{by_s:+.3g} s: {why}")

    if roast is Roast.LIGHT:
        move(_STEP_S, "a light roast takes water slowly")
    elif roast is Roast.DARK:
        move(-_STEP_S, "a dark roast takes water and gives off gas quickly")
    if days_off_roast is not None:
        days = f"{days_off_roast:g} days off roast"
        if days_off_roast < _FRESH_BEFORE_DAYS:
            move(_STEP_S, f"{days}, still full of gas")
        elif days_off_roast > _OLD_AFTER_DAYS:
            move(-2.0 * _STEP_S, f"{days}, little gas left")
        elif days_off_roast > _RESTED_AFTER_DAYS:
            move(-_STEP_S, f"{days}, much of the gas is gone")
    if dose_g >= _LARGE_FROM_G:
        move(_STEP_S, f"{dose_g:g} g is a deep bed to wet through")
    if wait_s < LEAST_WAIT_S:
        move(LEAST_WAIT_S - wait_s, f"{LEAST_WAIT_S:g} s is the least")
    next_s = on_beat(poured_s + wait_s)
    # The beat nearest to the rule that keeps the wait within the rule's own bounds.
    if next_s - poured_s < LEAST_WAIT_S:
        next_s += BEAT_S
    elif next_s - poured_s > MOST_WAIT_S:
        next_s -= BEAT_S
    move(next_s - poured_s - wait_s, f"so that the next pour starts {next_s:g} s after first water")
    reasons.append(f"= {wait_s:.3g} s in all")
    return BloomWait(wait_s, tuple(reasons))
