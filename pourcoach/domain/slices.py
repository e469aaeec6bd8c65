"""Long work in slices, so that whoever runs it can do something else in between."""

from collections.abc import Generator
from typing import TypeAlias, TypeVar

T = TypeVar("T")

Slices: TypeAlias = Generator[None, None, T]
"""Some milliseconds' work between one yield and the next; returns the result."""


def result_of(slices: Slices[T]) -> T:
    """Do all of it at once."""
    while True:
        try:
            next(slices)
        except StopIteration as done:
            found: T = done.value
            return found
