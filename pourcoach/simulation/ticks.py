"""The step in which the simulated world moves, and its chance."""

from random import Random

TICK_S = 0.005
"""A twentieth of the shortest ramp of a hand; results change by under a milligram below it."""


def rng(seed: int, part: str) -> Random:
    """A stream of chance of its own for each part of the world.

    So another scale, or another fault, leaves everything else in a brew as it was.
    """
    return Random(f"{seed} {part}")
