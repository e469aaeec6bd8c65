"""A brew at a glance: its curve over its plan, no larger than a stamp."""

from pourcoach.domain.advice import FlagKind
from pourcoach.reports.brew.noted import NOT_THE_HAND
from pourcoach.reports.charts.axes import Axis
from pourcoach.reports.charts.drawing import Drawing
from pourcoach.reports.charts.paint import Paint
from pourcoach.reports.charts.simplify import simplified
from pourcoach.reports.group.group_brew import GroupBrew

WIDTH, HEIGHT = 190.0, 84.0
_BAND_PX = 6.0
_MARK = 3.5
"""Half of the width and the height of a mark: a small triangle over what was noted."""


def small_curve(brew: GroupBrew) -> Drawing:
    """Curve, plan as a broad band, and a mark over each fault of the hand."""
    plan, curve = brew.plan, brew.curve
    drawing = Drawing(WIDTH, HEIGHT, f"The curve of {brew.name}", brew.kinds_text)
    span_s = max([30.0, *(t for t, _ in curve)] + ([] if plan is None else [plan.finish_s]))
    most_g = max([10.0, *(mass for _, mass in curve)] + ([] if plan is None else [plan.water_g]))
    across = Axis(0.0, span_s, 3.0, WIDTH - 3.0)
    up = Axis(0.0, most_g, HEIGHT - 6.0, 16.0)
    drawing.stroke([(0, HEIGHT - 3), (WIDTH, HEIGHT - 3)], Paint.GRID, 1.0)
    if plan is not None and brew.figures["pours"]:
        points = [(across.px(t), up.px(mass_g)) for t, mass_g in plan.corners(span_s)]
        drawing.stroke(points, Paint.BAND, _BAND_PX)
    drawing.stroke(simplified([(across.px(t), up.px(g)) for t, g in curve]), Paint.POURED, 1.8)
    start_s = brew.figures["brew_start_s"] or 0.0
    for flag in brew.figures["flags"]:
        if FlagKind(flag["kind"]) not in NOT_THE_HAND:
            x = across.px((flag["start_s"] + flag["end_s"]) / 2 - start_s)
            drawing.area([(x - _MARK, 2), (x + _MARK, 2), (x, 2 + 2 * _MARK)], Paint.FAULT)
            drawing.stroke([(x, 2 + 2 * _MARK), (x, HEIGHT - 3)], Paint.FAULT, 0.8, (2.0, 3.0))
    return drawing
