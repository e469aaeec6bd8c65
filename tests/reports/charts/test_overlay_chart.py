"""Brews laid over one another: each with its curve, its letter and its dashes."""

from pourcoach.reports.charts.drawing import Label, Stroke
from pourcoach.reports.charts.overlay_chart import DASHES, SERIES, overlay_chart, stage_charts
from pourcoach.reports.comparison.comparison import Comparison, compare
from tests.reports.drawn_report import shipped_brew


def hasty_and_steady() -> Comparison:
    return compare([shipped_brew("steady"), shipped_brew("hasty")])


def test_each_brew_has_its_curve_and_its_letter() -> None:
    comparison = hasty_and_steady()
    shapes = overlay_chart(comparison, "Two brews.").shapes
    for number in range(2):
        (curve,) = (
            shape
            for shape in shapes
            if isinstance(shape, Stroke)
            and (shape.paint, shape.dashes) == (SERIES[number], DASHES[number])
            and len(shape.points) > 10
        )
        assert curve.points[0][1] > curve.points[-1][1], "water only rises"
    letters = [shape.text for shape in shapes if isinstance(shape, Label) and len(shape.text) == 1]
    assert letters == ["A", "B"]


def test_each_stage_has_the_curves_of_all_brews() -> None:
    comparison = hasty_and_steady()
    drawing = stage_charts(comparison)
    assert drawing is not None
    stages = len(comparison.parts) - 1
    for number in range(2):
        curves = [
            shape
            for shape in drawing.shapes
            if isinstance(shape, Stroke) and shape.paint is SERIES[number] and shape.width == 1.8
        ]
        assert len(curves) == stages
