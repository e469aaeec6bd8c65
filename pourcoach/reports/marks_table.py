"""Marks against a rubric as text: criteria met, each with its figure and its bounds."""

import math

from pourcoach.coaching.marking import Mark, Marks
from pourcoach.reports.columns import in_columns

HEADINGS = ("CRITERION", "STAGE", "FIGURE", "BOUNDS", "MET?")


def marks_lines(marks: Marks) -> list[str]:
    """The whole table under a line that counts the criteria met, and weighs them."""
    share = marks.met_share
    weighed = "" if share is None else f", {100 * share:.0f} % by weight"
    heading = f"MARKS  {marks.met} of {marks.judged} criteria met{weighed} ({marks.rubric})"
    return [heading, *in_columns([HEADINGS, *map(_row, marks.marks)], right=frozenset({2}))]


def _row(mark: Mark) -> tuple[str, ...]:
    criterion = mark.criterion
    unit = criterion.measure.value
    met = {True: "yes", False: "no", None: "not judged"}[mark.met]
    return (
        criterion.title,
        mark.stage or "",
        "-" if mark.value is None else _figure(mark.value, unit),
        _bounds(criterion.least, criterion.most, unit),
        met,
    )


def _bounds(least: float, most: float, unit: str) -> str:
    if math.isinf(least):
        return f"up to {_figure(most, unit)}"
    if math.isinf(most):
        return f"from {_figure(least, unit)}"
    return f"{_figure(least, unit)} to {_figure(most, unit)}"


def _figure(value: float, unit: str) -> str:
    if unit.endswith(("_share", "_cv")):
        return f"{_rounded(100 * value, 1):g} %"
    if unit.endswith("_s"):
        return f"{_rounded(value, 1):g} s"
    if unit.endswith("_g"):
        return f"{_rounded(value, 1):g} g"
    return f"{value:g}"


def _rounded(value: float, places: int) -> float:
    """Rounded, and 0 where that gives a negative zero."""
    return round(value, places) + 0.0
