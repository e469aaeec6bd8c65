"""Several brews over each other: on brew time, or each stage from its own first water."""

from collections.abc import Iterator, Sequence

from pourcoach.domain.brew_clock import clock
from pourcoach.domain.plan import Plan
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.charts.axes import SECONDS, Axis, round_steps
from pourcoach.reports.charts.drawing import Anchor, Drawing, Point
from pourcoach.reports.charts.paint import SERIES, Paint
from pourcoach.reports.charts.simplify import simplified
from pourcoach.reports.comparison.comparison import Comparison
from pourcoach.reports.comparison.curves import BEFORE_S, stage_curve

WIDTH, HEIGHT = 760.0, 330.0
SMALL = 11.0
LETTER = 12.0
DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (7.0, 3.0),
    (2.5, 2.5),
    (9.0, 3.0, 2.5, 3.0),
    (4.0, 4.0),
    (12.0, 3.0),
)
"""One for each brew, so that they are distinguished without colour too."""
_LEFT, _RIGHT, _TOP, _BOTTOM = 46.0, 722.0, 14.0, 296.0
_PANEL = (246.0, 190.0)
_ACROSS = 3


def overlay_chart(comparison: Comparison, words: str) -> Drawing:
    """All brews on brew time. ``words`` describes it for who cannot see it."""
    brews = comparison.brews
    names = ", ".join(f"{letter} {brew.name}" for letter, brew in _lettered(comparison))
    drawing = Drawing(WIDTH, HEIGHT, f"The curves of {names}", words)
    plan = _common_plan(brews)
    span_s = max([30.0, *(brew.curve.end_s for brew in brews)])
    most_g = max([10.0, *(point.mass_g for brew in brews for point in brew.curve.points)])
    across = Axis(0.0, span_s * 1.01, _LEFT, _RIGHT)
    up = Axis(0.0, most_g * 1.06, _BOTTOM, _TOP)
    _frame(drawing, across, up, seconds=False)
    if plan is not None:
        _draw_plan(drawing, plan, across, up)
    ends: list[float] = []
    for number, (letter, brew) in enumerate(_lettered(comparison)):
        points = [(across.px(p.t_s), up.px(p.mass_g)) for p in brew.curve.points]
        _curve(drawing, points, number)
        _letter(drawing, points, number, letter, ends, across.to_px)
    return drawing


def stage_charts(comparison: Comparison) -> Drawing | None:
    """Each stage by its place, time and water from its own beginning; None where there is none."""
    count = len(comparison.parts) - 1
    if count < 1:
        return None
    rows = -(-count // _ACROSS)
    drawing = Drawing(
        WIDTH,
        rows * _PANEL[1],
        "Stage by stage",
        "Each stage from its own first water; the figures are in the tables below.",
    )
    for place in range(count):
        left = (place % _ACROSS) * (_PANEL[0] + 8)
        _panel(drawing, comparison, place, left, (place // _ACROSS) * _PANEL[1])
    return drawing


def _panel(drawing: Drawing, comparison: Comparison, place: int, left: float, top: float) -> None:
    runs = [
        (number, letter, stage_curve(brew, place))
        for number, (letter, brew) in enumerate(_lettered(comparison))
    ]
    span_s = max([5.0, *(points[-1][0] for _, _, points in runs if points)])
    most_g = max([5.0, *(mass_g for _, _, points in runs for _, mass_g in points)])
    across = Axis(-BEFORE_S, span_s, left + 34, left + _PANEL[0] - 14)
    up = Axis(0.0, most_g * 1.08, top + _PANEL[1] - 30, top + 26)
    title = comparison.parts[place + 1].title
    drawing.label((left, top + 14), title if len(title) <= 32 else f"{title[:31]}…", Paint.INK, 12)
    _frame(drawing, across, up, seconds=True)
    ends: list[float] = []
    for number, letter, points in runs:
        placed = [(across.px(t), up.px(mass_g)) for t, mass_g in points]
        _curve(drawing, placed, number, width=1.8)
        _letter(drawing, placed, number, letter, ends, across.to_px)


def _frame(drawing: Drawing, across: Axis, up: Axis, *, seconds: bool) -> None:
    for value in up.ticks(round_steps(up.high)):
        y = up.px(value)
        drawing.stroke([(across.from_px, y), (across.to_px, y)], Paint.GRID)
        text = f"{value:g}" if value else "0 g"
        drawing.label((across.from_px - 6, y + 4), text, Paint.DIM, SMALL, Anchor.END)
    for value in across.ticks(SECONDS):
        text = f"{value:g} s" if seconds else clock(value)
        at = (across.px(value), up.from_px + 17)
        drawing.label(at, text, Paint.DIM, SMALL, Anchor.MIDDLE)


def _draw_plan(drawing: Drawing, plan: Plan, across: Axis, up: Axis) -> None:
    points = [(across.px(t), up.px(mass_g)) for t, mass_g in plan.corners(across.high)]
    drawing.stroke(points, Paint.BAND, 9.0)


def _curve(drawing: Drawing, points: Sequence[Point], number: int, width: float = 2.2) -> None:
    drawing.stroke(simplified(points), SERIES[number], width, DASHES[number])


def _letter(
    drawing: Drawing,
    points: Sequence[Point],
    number: int,
    letter: str,
    ends: list[float],
    right_px: float,
) -> None:
    """At the right, as high as the curve ends, or below those that stand there already."""
    if not points:
        return
    y = points[-1][1] + 4
    while any(abs(y - other) < LETTER for other in ends):
        y += LETTER / 4
    ends.append(y)
    drawing.label((right_px + 3, y), letter, SERIES[number], LETTER, bold=True)


def _lettered(comparison: Comparison) -> Iterator[tuple[str, BrewReport]]:
    return zip(comparison.letters, comparison.brews, strict=True)


def _common_plan(brews: Sequence[BrewReport]) -> Plan | None:
    """The plan of all of them; None where they have different ones, or none."""
    first = brews[0].plan
    if brews[0].dripped or any(brew.plan != first for brew in brews):
        return None
    return first
