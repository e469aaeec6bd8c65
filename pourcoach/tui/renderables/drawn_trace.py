"""What was poured, point by point, kept for drawing anew."""

from bisect import bisect_left
from collections.abc import Iterator

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.reports.brew.curve import CurvePoint


class DrawnTrace:
    """Mass and flow over tape time, in order. Going back in time cuts off what lies after."""

    def __init__(self) -> None:
        self._times_s: list[Seconds] = []
        self._masses_g: list[Grams] = []
        self._flows_gps: list[GramsPerSecond] = []

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
