"""A brew poured to its plan, for a test to go wrong in one place."""

from collections.abc import Callable
from typing import Any

Brew = Any

NewBrew = Callable[..., Brew]


def finish(brew: Brew) -> Brew:
    """The rest of a brew to plan, from the first pour on."""
    return brew.until(32).pour_to(140).until(72).pour_to(240).rest(5)
