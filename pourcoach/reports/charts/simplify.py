"""Fewer points for the same line."""

from collections.abc import Sequence
from math import hypot

from pourcoach.reports.charts.drawing import Point

TOLERANCE_PX = 0.2
"""No printer or screen shows a line that is so little off."""


def simplified(points: Sequence[Point], tolerance: float = TOLERANCE_PX) -> list[Point]:
    """The points that a line needs so that no other lies further than ``tolerance`` from it.

    Source: Douglas & Peucker 1973, with a stack in place of recursion.
    """
    if len(points) < 3:
        return list(points)
    kept = {0, len(points) - 1}
    waiting = [(0, len(points) - 1)]
    while waiting:
        first, last = waiting.pop()
        worst, far = first, tolerance
        for place in range(first + 1, last):
            off = _off(points[place], points[first], points[last])
            if off > far:
                worst, far = place, off
        if worst != first:
            kept.add(worst)
            waiting += [(first, worst), (worst, last)]
    return [points[place] for place in sorted(kept)]


def _off(point: Point, first: Point, last: Point) -> float:
    """Distance of a point from the straight line between two others."""
    across, down = last[0] - first[0], last[1] - first[1]
    length = hypot(across, down)
    if length == 0.0:
        return hypot(point[0] - first[0], point[1] - first[1])
    return abs(across * (first[1] - point[1]) - (first[0] - point[0]) * down) / length
