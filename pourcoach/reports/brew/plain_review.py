"""The review as lines of text: for pipes, logs and screen readers."""

from textwrap import wrap

from pourcoach.coaching.marking.marking import mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.reports.brew.marks_table import marks_lines
from pourcoach.reports.brew.noted import noted
from pourcoach.reports.brew.stage_table import HEADINGS, NUMBERS, result_line, stage_rows
from pourcoach.reports.brew.verdict import risk_or_why_not, verdict
from pourcoach.reports.columns import in_columns
from pourcoach.wording import arrangement_sentence, moment_words

WIDTH = 96
"""Columns at most; the stage table alone may be wider."""
MARKED = "Marked by key while brewing"
"""Heads the brewer's own marks and notes, here and on the review screen."""


def review_lines(
    frame: Frame | None,
    plan: Plan | None,
    rubric: Rubric,
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE,
) -> list[str]:
    """The whole review of the last ``frame`` of a brew under ``plan``, marked by ``rubric``.

    None is a brew in which nothing came.
    """
    if frame is None:
        return ["Nothing came from the scale, so there is nothing to review."]
    marks = mark(frame, plan, rubric, arrangement)
    lead = verdict(frame, plan, marks, arrangement)
    lines = [lead.headline, *_wrapped(lead.evidence), *_wrapped(lead.advice)]
    lines += _wrapped(lead.reason)
    lines += ["", *_wrapped(result_line(frame.pour, plan, arrangement), 0)]
    contradiction = arrangement_sentence(frame.pour)
    if contradiction is not None:
        lines += _wrapped(contradiction, 0)
    rows = [row.cells for row in stage_rows(frame, plan, arrangement)]
    if rows:
        lines += ["", *in_columns([HEADINGS, *rows], right=NUMBERS)]
    for kind in noted(frame.flags, frame.pour.brew_start_s):
        lines += ["", kind.title]
        for finding in kind.findings:
            lines += _wrapped(f"{finding.head}: {finding.measured}")
        lines += _wrapped(kind.what_of_it, 2)
    if frame.moments:
        lines += ["", MARKED]
        for moment in frame.moments:
            lines += _wrapped(moment_words(moment, frame.pour.brew_start_s))
    if marks.judged:
        lines += ["", *marks_lines(marks, frame.pour.brew_start_s)]
    lines.append("")
    for sentence in risk_or_why_not(frame, arrangement):
        lines += _wrapped(sentence, 0)
    return lines


def _wrapped(text: str, depth: int = 1) -> list[str]:
    indent = "  " * depth
    return wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
