"""Long work of the fold, done on the event loop without holding it up."""

import asyncio
from typing import TypeVar

from pourcoach.domain.slices import Slices

T = TypeVar("T")


async def done_in_slices(slices: Slices[T]) -> T:
    """Do all of it, the event loop taking its turn after each slice; return the result."""
    while True:
        try:
            next(slices)
        except StopIteration as done:
            found: T = done.value
            return found
        await asyncio.sleep(0)
