"""Marks against a rubric as a table: each criterion with its figure and its bounds."""

import math

from pourcoach.coaching.marking import Marks
from pourcoach.coaching.rubric import Criterion, Measure
from pourcoach.reports.columns import in_columns

_ANSWERS = {True: "met", False: "NOT MET", None: "not judged"}


def marks_heading(marks: Marks) -> str:
    """How many are met, by which rubric."""
    return f"{marks.met} of {marks.judged} criteria met (rubric: {marks.rubric})"


def marks_lines(marks: Marks) -> list[str]:
    """A line a criterion and stage."""
    rows = [
        (
            mark.criterion.title,
            mark.stage or "",
            "-" if mark.value is None else _figure(mark.criterion.measure, mark.value),
            _bounds(mark.criterion),
            _ANSWERS[mark.met],
        )
        for mark in marks.marks
    ]
    return in_columns(rows, right=frozenset({2})) if rows else []


def _bounds(criterion: Criterion) -> str:
    least, most = (_figure(criterion.measure, end) for end in (criterion.least, criterion.most))
    if math.isinf(criterion.least):
        return f"at most {most}"
    if math.isinf(criterion.most):
        return f"at least {least}"
    return f"{least} to {most}"


def _figure(measure: Measure, value: float) -> str:
    """With its unit, which the measure's name ends in; distances from the plan with their sign."""
    name = measure.value
    sign = "+" if "_off_" in name else ""
    if name.endswith(("_share", "_cv")):
        return f"{100.0 * value:{sign}.0f} %"
    if name.endswith("_s"):
        return f"{value:{sign}.0f} s"
    if name.endswith("_g"):
        return f"{value:{sign}.1f} g"
    return f"{value:.0f}"
