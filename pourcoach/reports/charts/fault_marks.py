"""What was noted, marked on a chart: a number over the curve and a shade behind it."""

from collections.abc import Iterator

from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.brew.noted import NOT_THE_HAND, NotedFlag
from pourcoach.reports.charts.axes import Axis
from pourcoach.reports.charts.drawing import Anchor, Drawing
from pourcoach.reports.charts.paint import Paint

RADIUS = 8.5


def numbered(brew: BrewReport) -> Iterator[tuple[int, NotedFlag]]:
    """Every finding with its number, from 1, in the order in which they are reported."""
    findings = (finding for kind in brew.noted for finding in kind.findings)
    return enumerate(findings, 1)


def draw_faults(
    drawing: Drawing,
    brew: BrewReport,
    across: Axis,
    weight: tuple[float, float],
    lowest: tuple[float, float],
) -> None:
    """Shade and number, from the top of ``weight`` down to the bottom of ``lowest``."""
    start_s = None if brew.last is None else brew.last.pour.brew_start_s
    if start_s is None:
        return
    top, bottom = weight[1], lowest[0]
    marks = []
    for number, finding in numbered(brew):
        left = across.px(finding.flag.start_s - start_s)
        right = max(across.px(finding.flag.end_s - start_s), left + 2.0)
        by_hand = finding.flag.kind not in NOT_THE_HAND
        ground = Paint.FAULT_GROUND if by_hand else Paint.GRID
        drawing.box(left, top, right - left, bottom - top, ground)
        marks.append(((left + right) / 2, number, by_hand))
    marks.sort()
    y = top - RADIUS - 12
    places = _apart([x for x, _, _ in marks], across.from_px, across.to_px)
    for place, (x, number, by_hand) in zip(places, marks, strict=True):
        paint, on = (Paint.FAULT, Paint.ON_FAULT) if by_hand else (Paint.DIM, Paint.GROUND)
        drawing.stroke([(place, y), (x, top)], paint, 1.2)
        drawing.dot((place, y), RADIUS, paint)
        drawing.label((place, y + 4), str(number), on, 11.0, Anchor.MIDDLE, bold=True)


def _apart(wanted: list[float], left_px: float, right_px: float) -> list[float]:
    """Places in a row, as near as may be to where they are wanted (in order), none over another
    unless there are too many."""
    if not wanted:
        return []
    step = min(2 * RADIUS + 2, (right_px - left_px) / len(wanted))
    places: list[float] = []
    for x in wanted:
        places.append(max(x, places[-1] + step) if places else x)
    limit = right_px
    for number in range(len(places) - 1, -1, -1):
        places[number] = min(places[number], limit)
        limit = places[number] - step
    return places
