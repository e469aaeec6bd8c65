"""The curves of brews laid over each other: on brew time, or a stage from its own first water."""

from pourcoach.domain.units import Grams, Seconds
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.comparison.comparison import Comparison

BEFORE_S: Seconds = 1.0
AFTER_S: Seconds = 3.0
"""Around a stage, so that its beginning and its landing are seen."""

Curve = list[tuple[Seconds, Grams]]


def part_curves(comparison: Comparison, part: int) -> list[Curve]:
    """Of all brews: the whole of them where ``part`` is 0, else the stage of that number."""
    if part == 0:
        return [
            [(point.t_s, point.mass_g) for point in brew.curve.points] for brew in comparison.brews
        ]
    return [stage_curve(brew, part - 1) for brew in comparison.brews]


def stage_curve(brew: BrewReport, place: int) -> Curve:
    """Seconds and grams from the beginning of the stage at ``place``; empty without that stage."""
    pour = None if brew.last is None else brew.last.pour
    if pour is None or pour.brew_start_s is None or place >= len(pour.stages):
        return []
    stage = pour.stages[place]
    start_s = stage.start_s - pour.brew_start_s
    end_s = brew.curve.end_s if stage.end_s is None else stage.end_s - pour.brew_start_s
    from_g = stage.pours[0].start_g
    return [
        (point.t_s - start_s, max(0.0, point.mass_g - from_g))
        for point in brew.curve.points
        if start_s - BEFORE_S <= point.t_s <= end_s + AFTER_S
    ]
