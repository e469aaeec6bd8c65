"""Marks against a rubric as text: criteria met, each with its figure and its bounds."""

import math

from pourcoach.coaching.marking import Mark, Marks
from pourcoach.coaching.rubric import Criterion, Measure
from pourcoach.domain.units import Seconds
from pourcoach.reports.columns import in_columns
from pourcoach.wording import replan_sentence

HEADINGS = ("CRITERION", "STAGE", "FIGURE", "BOUNDS", "MET?")


def marks_lines(marks: Marks, brew_start_s: Seconds | None) -> list[str]:
    """The whole table under a line that counts the criteria met, each by its weight too; below it
    what changed the plan, where a mark allows for that.
    """
    share = marks.met_share
    score = "" if share is None else f"; {100 * share:.0f} % with each counted as it matters"
    unseen = f" ({marks.unseen} not seen)" if marks.unseen else ""
    heading = f"MARKS  {marks.met} of {marks.judged} met{unseen}{score} ({marks.rubric})"
    replans = list(dict.fromkeys(mark.replan for mark in marks.marks if mark.replan is not None))
    notes = [replan_sentence(replan, brew_start_s) for replan in replans]
    rows = [_row(mark) for mark in marks.marks]
    return [heading, *in_columns([HEADINGS, *rows], right=frozenset({2})), *notes]


def _row(mark: Mark) -> tuple[str, ...]:
    criterion = mark.criterion
    met = {True: "yes", False: "no", None: "not judged"}[mark.met]
    if not mark.seen:
        met = "no, not seen"
    elif mark.replan is not None:
        met += ", by the new plan"
    return (
        criterion.title,
        mark.stage or "",
        "-" if mark.value is None else figure_text(mark.value, criterion.measure),
        bounds_text(criterion),
        met,
    )


def bounds_text(criterion: Criterion) -> str:
    """``-5 % to 5 %``, ``up to 20 %``."""
    least, most, measure = criterion.least, criterion.most, criterion.measure
    if math.isinf(least):
        return f"up to {figure_text(most, measure)}"
    if math.isinf(most):
        return f"from {figure_text(least, measure)}"
    return f"{figure_text(least, measure)} to {figure_text(most, measure)}"


def figure_text(value: float, measure: Measure) -> str:
    """A figure with the unit of its measure."""
    unit = measure.value
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
