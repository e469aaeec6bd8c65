"""Marks against a rubric as text: criteria met, each with its figure and its bounds."""

import math
from typing import NamedTuple

from pourcoach.coaching.marking.marking import CriterionMark, Marks
from pourcoach.coaching.marking.rubric import Criterion, Measure
from pourcoach.domain.units import Seconds
from pourcoach.reports.columns import in_columns
from pourcoach.wording import replan_sentence

HEADINGS = ("CRITERION", "STAGE", "FIGURE", "BOUNDS", "MET?")


class MarkRow(NamedTuple):
    """One mark, in the order of HEADINGS."""

    criterion: str
    stage: str
    figure: str
    bounds: str
    met: str


def marks_lines(marks: Marks, brew_start_s: Seconds | None) -> list[str]:
    """The whole table under a line that counts the criteria met, each by its weight too; below it
    what changed the plan, where a mark allows for that.
    """
    rows = marks_rows(marks)
    return [
        f"MARKS  {marks_heading(marks)}",
        *in_columns([HEADINGS, *rows], right=frozenset({2})),
        *replan_notes(marks, brew_start_s),
    ]


def marks_heading(marks: Marks) -> str:
    """``11 of 12 met; 94 % with each counted as it matters (pouring to plan)``."""
    share = marks.met_share
    score = "" if share is None else f"; {100 * share:.0f} % with each counted as it matters"
    unseen = f" ({marks.unseen} not seen)" if marks.unseen else ""
    return f"{marks.met} of {marks.judged} met{unseen}{score} ({marks.rubric})"


def marks_rows(marks: Marks) -> list[MarkRow]:
    """A row a mark, as text."""
    return [_row(mark) for mark in marks.marks]


def replan_notes(marks: Marks, brew_start_s: Seconds | None) -> list[str]:
    """What changed the plan, a sentence each, where a mark allows for that."""
    replans = dict.fromkeys(mark.replan for mark in marks.marks if mark.replan is not None)
    return [replan_sentence(replan, brew_start_s) for replan in replans]


def _row(mark: CriterionMark) -> MarkRow:
    criterion = mark.criterion
    met = {True: "yes", False: "no", None: "not judged"}[mark.met]
    if not mark.seen:
        met = "no, not seen"
    elif mark.unsure:
        met = "unsure"
    elif mark.replan is not None:
        met += ", by the new plan"
    return MarkRow(
        criterion.title,
        mark.stage or "",
        "-" if mark.value is None else mark_text(mark.value, criterion.measure),
        bounds_text(criterion),
        met,
    )


def bounds_text(criterion: Criterion) -> str:
    """``-5 % to 5 %``, ``up to 20 %``."""
    least, most, measure = criterion.least, criterion.most, criterion.measure
    if math.isinf(least):
        return f"up to {mark_text(most, measure)}"
    if math.isinf(most):
        return f"from {mark_text(least, measure)}"
    return f"{mark_text(least, measure)} to {mark_text(most, measure)}"


def mark_text(value: float, measure: Measure) -> str:
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
