"""A value with its standard error, and how errors travel through arithmetic."""

import math
from collections.abc import Callable
from dataclasses import dataclass

# Small against any error carried here, large against rounding.
_RELATIVE_STEP = 1e-6


@dataclass(frozen=True, slots=True)
class Measured:
    """What an instrument said."""

    value: float
    error: float = 0.0
    """One standard error, in the value's own unit; 0 where it is exact."""


def slopes(function: Callable[..., float], *inputs: Measured) -> list[float]:
    """The function's partial derivative by each input, at their values, by central differences."""
    values = [one.value for one in inputs]
    found = []
    for index, value in enumerate(values):
        step = _RELATIVE_STEP * max(abs(value), 1e-3)
        above = [*values[:index], value + step, *values[index + 1 :]]
        below = [*values[:index], value - step, *values[index + 1 :]]
        found.append((function(*above) - function(*below)) / (2.0 * step))
    return found


def propagate(function: Callable[..., float], *inputs: Measured) -> Measured:
    """The function of measured inputs, its error to first order.

    Inputs are taken as independent (JCGM 100:2008, "GUM", equation 10).
    """
    variance = sum(
        (slope * one.error) ** 2
        for slope, one in zip(slopes(function, *inputs), inputs, strict=True)
    )
    return Measured(function(*(one.value for one in inputs)), math.sqrt(variance))
