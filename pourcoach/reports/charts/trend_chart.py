"""The share of marks met over the days, a dot a brew, with its trend where one is seen."""

from datetime import date, timedelta
from math import ceil
from statistics import median

from pourcoach.reports.charts.axes import Axis
from pourcoach.reports.charts.drawing import Anchor, Drawing
from pourcoach.reports.charts.paint import Paint
from pourcoach.reports.group.progress import DAYS, PersonProgress

WIDTH, HEIGHT = 760.0, 240.0
SMALL = 11.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 46.0, 748.0, 16.0, 206.0
_MOST_DATES = 7


def trend_chart(progress: PersonProgress) -> Drawing | None:
    """The chart; None with fewer than two days that have marks."""
    dots = [
        (brew.at.date(), 100.0 * brew.met_share)
        for brew in progress.brews
        if brew.at is not None and brew.met_share is not None
    ]
    if len({day for day, _ in dots}) < 2:
        return None
    words = " ".join(progress.sentences) or f"{len(dots)} brews."
    drawing = Drawing(WIDTH, HEIGHT, f"Marks met by {progress.name} over time", words)
    first, last = min(day for day, _ in dots), max(day for day, _ in dots)
    span = (last - first).days
    # Half a day of room on either side.
    across = Axis(-0.03 * span, 1.03 * span, _LEFT, _RIGHT)
    up = Axis(0.0, 100.0, _BOTTOM, _TOP)
    for value in (0, 25, 50, 75, 100):
        drawing.stroke([(_LEFT, up.px(value)), (_RIGHT, up.px(value))], Paint.GRID)
        at = (_LEFT - 6, up.px(value) + 4)
        drawing.label(at, f"{value} %", Paint.DIM, SMALL, Anchor.END)
    for day in dates_between(first, last):
        x = across.px((day - first).days)
        drawing.label((x, _BOTTOM + 20), f"{day:%d %b}", Paint.DIM, SMALL, Anchor.MIDDLE)
    trend = progress.marks_trend
    if trend is not None and trend.is_seen:
        ends = (0.0, float(span))
        line = [(across.px(end), up.px(100.0 * trend.at(end / DAYS))) for end in ends]
        drawing.stroke(line, Paint.PLAN, 2.0, (7.0, 4.0))
    for day in sorted({day for day, _ in dots}):
        own = [share for on, share in dots if on == day]
        x, y = across.px((day - first).days), up.px(median(own))
        drawing.stroke([(x - 7, y), (x + 7, y)], Paint.PLAN, 2.4)
    for day, share in dots:
        drawing.dot((across.px((day - first).days), up.px(share)), 3.4, Paint.POURED)
    return drawing


def dates_between(first: date, last: date) -> list[date]:
    """A few, whole days evenly apart; the first and the last among them."""
    span = (last - first).days
    step = ceil(span / (_MOST_DATES - 1))
    days = list(range(0, span + 1, step))
    if span - days[-1] < step / 2:
        days.pop()  # The last day stands there.
    return [first + timedelta(days=day) for day in [*days, span]]
