"""Least squares with a lower and an upper bound on each unknown."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

# A gradient this small against the problem's own size is rounding: 450 times a double's step.
_TOLERANCE = 1e-13
# The active set changes by one unknown a turn and there are a dozen salts at most: never reached,
# but nothing may turn for ever.
_MOST_TURNS = 200


def solve_bounded(
    matrix: Sequence[Sequence[float]],
    aims: Sequence[float],
    upper: Sequence[float],
) -> list[float]:
    """The x with 0 <= x <= upper that brings ``matrix @ x`` nearest to ``aims``.

    ``matrix`` has a row for each aim and a column for each unknown. An active-set method (Stark
    & Parker 1995, "Bounded-variable least squares"): free the unknown whose bound pulls hardest,
    solve for the free ones, and stop each that runs into a bound there.
    """
    a = np.asarray(matrix, dtype=float)
    b = np.asarray(aims, dtype=float)
    top = np.asarray(upper, dtype=float)
    x = np.zeros(a.shape[1])
    free = np.zeros(a.shape[1], dtype=bool)
    scale = float(np.abs(a).max(initial=0.0) * max(np.abs(b).max(initial=0.0), 1.0))
    for _ in range(_MOST_TURNS):
        pull = a.T @ (b - a @ x)
        # At the lower bound only a pull upwards frees, at the upper one only a pull downwards.
        wants = np.where(free, 0.0, np.where(x <= 0.0, pull, np.where(x >= top, -pull, 0.0)))
        wants[top <= 0.0] = 0.0
        if wants.max(initial=0.0) <= _TOLERANCE * scale:
            break
        free[int(np.argmax(wants))] = True
        _descend(a, b, top, x, free)
    return [float(value) for value in x]


def _descend(
    a: NDArray[np.float64],
    b: NDArray[np.float64],
    top: NDArray[np.float64],
    x: NDArray[np.float64],
    free: NDArray[np.bool_],
) -> None:
    """Solve for the free unknowns, stopping one at a bound each time a step would cross it."""
    while free.any():
        goal, *_ = np.linalg.lstsq(a[:, free], b - a[:, ~free] @ x[~free], rcond=None)
        here, most = x[free], top[free]
        step = goal - here
        with np.errstate(divide="ignore", invalid="ignore"):
            room = np.where(
                step > 0, (most - here) / step, np.where(step < 0, -here / step, np.inf)
            )
        reach = float(room.min())
        if reach >= 1.0:
            x[free] = goal
            return
        here = np.clip(here + reach * step, 0.0, most)
        stopped = room <= reach
        here[stopped] = np.where(step[stopped] > 0, most[stopped], 0.0)
        x[free] = here
        free[np.flatnonzero(free)[stopped]] = False
