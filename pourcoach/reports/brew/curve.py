"""The curve of a brew: what was poured by when, and how fast, in brew time."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

LIFTED_BY_G: Grams = 5.0
"""Nothing else takes so much off the scale at the end of a brew: evaporation is below 1 g a minute
(common practice)."""
APART_S: Seconds = 0.095
"""Points nearer to each other are not distinguished on a page; a scale of 10 Hz keeps all of
its."""
MOST_POINTS = 40_000
"""An hour of them. A recording that runs on for a day is drawn up to here."""


class CurvePoint(NamedTuple):
    """One moment."""

    t_s: Seconds
    """On the tape as it is taken; since the first water in a BrewCurve."""
    mass_g: Grams
    flow_gps: GramsPerSecond


@dataclass(frozen=True, slots=True)
class BrewCurve:
    """From the first water to the end of the brew, without the lift at its end."""

    points: tuple[CurvePoint, ...] = ()

    @property
    def end_s(self) -> Seconds:
        """Brew time of the last point; 0 where there is none."""
        return self.points[-1].t_s if self.points else 0.0

    def thinned(self, apart_s: Seconds) -> tuple[CurvePoint, ...]:
        """The first point, and each that is so long after the one before."""
        kept: list[CurvePoint] = []
        for point in self.points:
            if not kept or point.t_s - kept[-1].t_s >= apart_s:
                kept.append(point)
        return tuple(kept)

    def off_target(self, plan: Plan) -> list[tuple[Seconds, Grams]]:
        """How far above the target it was; below is negative."""
        return [(point.t_s, point.mass_g - plan.target_g(point.t_s)) for point in self.points]

    def at(self, brew_s: Seconds) -> CurvePoint | None:
        """The last point at or before a moment; None before the first and beyond the end."""
        if not self.points or brew_s > self.end_s:
            return None
        found = None
        for point in self.points:
            if point.t_s > brew_s:
                break
            found = point
        return found


class CurveTaker:
    """Takes the points of a curve off the Frames of a brew as they come."""

    def __init__(self) -> None:
        self.points: list[CurvePoint] = []

    def take(self, frame: Frame) -> None:
        """Take a Frame's point, where the brew is under way and the last one is a while ago."""
        points = self.points
        if frame.pour.phase in (Phase.READY, Phase.DONE) or len(points) >= MOST_POINTS:
            return
        if not points or frame.t_s - points[-1].t_s >= APART_S:
            points.append(CurvePoint(frame.t_s, frame.weight_g, frame.estimate.flow_gps))


def brew_curve(last: Frame | None, points: Iterable[CurvePoint]) -> BrewCurve:
    """The curve of a brew of which ``last`` is the refined last Frame; ``points`` are on the tape.

    Empty where nothing was poured.
    """
    if last is None or last.pour.brew_start_s is None:
        return BrewCurve()
    start_s = last.pour.brew_start_s
    span_s = inf if last.pour.end_s is None else last.pour.end_s - start_s
    kept = [
        point._replace(t_s=point.t_s - start_s)
        for point in points
        if start_s <= point.t_s <= start_s + span_s
    ]
    while kept and kept[-1].mass_g < last.pour.water_g - LIFTED_BY_G:
        kept.pop()
    return BrewCurve(tuple(kept))
