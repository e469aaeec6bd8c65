"""The curve of what was poured, point by point, kept so that it can be drawn again."""

from bisect import bisect_left
from collections.abc import Iterator

from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.reports.brew.curve import CurvePoint

READY_POINTS = 20_000
"""Kept from before the brew: some minutes of the fastest scales. First water that came by then may
be counted yet; a scale left on for a day fills no memory."""


class DrawnTrace:
    """Mass and flow over tape time, in order. Going back in time cuts off what lies after."""

    def __init__(self) -> None:
        self._times_s: list[Seconds] = []
        self._masses_g: list[Grams] = []
        self._flows_gps: list[GramsPerSecond] = []
        self._ready_from: int | None = None
        """The first point since the brew was last not under way; None while it is."""

    def follow(self, frame: Frame) -> bool:
        """Take the point of the next Frame; True as for ``add``.

        What runs in before the brew is under way is the first water, once that is known: it is
        drawn as water then, whatever stood on the scale.
        """
        ready = frame.pour.phase is Phase.READY
        unbroken_g = frame.estimate.unbroken_g
        mass_g = unbroken_g if ready else frame.weight_g
        back = self.add(frame.t_s, mass_g, frame.estimate.flow_gps)
        newest = len(self._times_s) - 1
        if ready and (back or self._ready_from is None):
            self._ready_from = newest
        elif ready and self._ready_from is not None:
            self._drop_old(self._ready_from)
        elif self._ready_from is not None:
            dry_g = unbroken_g - mass_g
            for at in range(self._ready_from, newest):
                self._masses_g[at] -= dry_g
            self._ready_from = None
        return back

    def _drop_old(self, ready_from: int) -> None:
        """Leave out the older half of what came before the brew, once it is much."""
        count = len(self._times_s) - ready_from
        if count >= READY_POINTS:
            old = slice(ready_from, ready_from + count // 2)
            del self._times_s[old], self._masses_g[old], self._flows_gps[old]

    def add(self, t_s: Seconds, mass_g: Grams, flow_gps: GramsPerSecond = 0.0) -> bool:
        """Take the next point. True where it lies before the last, so that what lay after it is
        gone.
        """
        back = bool(self._times_s) and t_s < self._times_s[-1]
        if back:
            kept = bisect_left(self._times_s, t_s)
            del self._times_s[kept:]
            del self._masses_g[kept:]
            del self._flows_gps[kept:]
        self._times_s.append(t_s)
        self._masses_g.append(mass_g)
        self._flows_gps.append(flow_gps)
        return back

    def since(self, start_s: Seconds) -> Iterator[tuple[Seconds, Grams]]:
        """Points from ``start_s`` on, their times counted from it."""
        for t_s, mass_g in zip(self._times_s, self._masses_g, strict=True):
            if t_s >= start_s:
                yield t_s - start_s, mass_g

    def points(self) -> Iterator[CurvePoint]:
        """All of it, on the tape."""
        yield from map(CurvePoint, self._times_s, self._masses_g, self._flows_gps)
