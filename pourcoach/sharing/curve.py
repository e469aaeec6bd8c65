"""What was poured at one station so far: the curve that wall and page draw."""

from typing import NamedTuple

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds

STEP_S: Seconds = 0.2
"""Between two points: a pixel of a phone, and less than a column of a terminal."""
MOST_POINTS = 3000
"""Ten minutes of brewing."""


class CurveAt(NamedTuple):
    """One point."""

    time_s: Seconds
    """Since the first water."""
    weight_g: Grams
    target_g: Grams | None


class StationCurve:
    """Grows by one writer; who reads it from another thread takes slices of ``points``."""

    def __init__(self) -> None:
        self.points: list[CurveAt] = []
        self.cuts = 0
        """How often points were taken away: another number means to draw it anew."""
        self.plan: Plan | None = None
        """The plan in force; None where there is none, and for stations of other machines."""

    def add(
        self,
        time_s: Seconds | None,
        weight_g: Grams | None,
        off_g: Grams | None,
        *,
        over: bool = False,
    ) -> None:
        """Take how it stands now; ``time_s`` is None before the first water. ``over``: what is
        lifted off the scale after the brew is no part of it."""
        points = self.points
        if time_s is None:
            if points:
                self._cut(len(points))
            return
        if weight_g is None or over:
            return
        if points and time_s < points[-1].time_s:
            # Wound back, or another brew.
            kept = len(points)
            while kept and points[kept - 1].time_s > time_s:
                kept -= 1
            self._cut(len(points) - kept)
        if not points or round(time_s - points[-1].time_s, 3) >= STEP_S:
            target_g = None if off_g is None else round(weight_g - off_g, 1)
            points.append(CurveAt(round(time_s, 1), round(weight_g, 1), target_g))
            if len(points) > MOST_POINTS:
                del points[0]
                self.cuts += 1

    def hide(self) -> None:
        """Nothing of it may be seen any more."""
        self.plan = None
        self.add(None, None, None)

    def _cut(self, count: int) -> None:
        del self.points[len(self.points) - count :]
        self.cuts += 1
