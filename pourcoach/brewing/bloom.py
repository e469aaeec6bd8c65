"""How long to let the bloom stand: a house rule, bounded, and labelled as one.

No published law links roast or days off roast to seconds of bloom. What is known is only the
direction: coffee gives off its gas for weeks after roasting (Shimoni & Labuza 2000), so fresher
coffee holds more; practice waits longer for fresher coffee, lighter roasts and larger brews.
The rule moves by whole steps of three seconds and never leaves 15-30 s (common practice).
"""

from dataclasses import dataclass
from enum import Enum

from pourcoach.domain.units import Grams, Seconds

# Bloom time of 15-30 s, longer for lighter, fresher and larger brews: common practice, no published
# source. How much longer, and from which day or dose on, is this program's own house rule.
LEAST_WAIT_S = 15.0
MOST_WAIT_S = 30.0
_USUAL_WAIT_S = 25.0
_STEP_S = 3.0
_FRESH_BEFORE_DAYS = 7.0
_RESTED_AFTER_DAYS = 21.0
_OLD_AFTER_DAYS = 42.0
_LARGE_FROM_G = 30.0


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
    """Plain phrases, the base first."""


def bloom_wait(
    dose_g: Grams, roast: Roast | None = None, days_off_roast: float | None = None
) -> BloomWait:
    """The house rule. What is None moves nothing.

    Never rises with days off roast; never falls from dark to light or with the dose.
    """
    wait_s = _USUAL_WAIT_S
    reasons = [
        f"{_USUAL_WAIT_S:g} s to begin with (house rule: bounded to "
        f"{LEAST_WAIT_S:g}-{MOST_WAIT_S:g} s, no published law)"
    ]

    def move(steps: int, why: str) -> None:
        nonlocal wait_s
        wait_s += steps * _STEP_S
        reasons.append(f"{steps * _STEP_S:+g} s: {why}")

    if roast is Roast.LIGHT:
        move(+1, "a light roast takes water slowly")
    elif roast is Roast.DARK:
        move(-1, "a dark roast takes water and gives off gas quickly")
    if days_off_roast is not None:
        days = f"{days_off_roast:g} days off roast"
        if days_off_roast < _FRESH_BEFORE_DAYS:
            move(+1, f"{days}, still full of gas")
        elif days_off_roast > _OLD_AFTER_DAYS:
            move(-2, f"{days}, little gas left")
        elif days_off_roast > _RESTED_AFTER_DAYS:
            move(-1, f"{days}, much of the gas is gone")
    if dose_g >= _LARGE_FROM_G:
        move(+1, f"{dose_g:g} g is a deep bed to wet through")
    return BloomWait(min(max(wait_s, LEAST_WAIT_S), MOST_WAIT_S), tuple(reasons))
