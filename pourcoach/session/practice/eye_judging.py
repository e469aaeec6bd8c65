"""Brews marked by eye before the figures are shown, kept for each judge."""

from datetime import datetime
from pathlib import Path
from typing import Any

from pourcoach.coaching.marking.marking import CriterionMark, mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import WorkError
from pourcoach.library.practice_log import judging_log, log_practice, practice_of
from pourcoach.practice.judging.grades import GRADES, Graded, grade_of
from pourcoach.recordings.fold import judged_tape
from pourcoach.session.rubric_in_use import judged_under


def to_be_judged(path: Path, rubric: Rubric) -> tuple[CriterionMark, ...]:
    """The criteria of a brew that the scale can judge. Raises WorkError where it cannot be read."""
    judged = judged_tape(path, lambda header: judged_under(header, rubric))
    plan = judged.header.plan
    if judged.last is None or plan is None:
        raise WorkError(f"{path} has no plan to be judged by", "name a brew with a plan")
    marks = mark(judged.last, plan, rubric, judged.header.setup.arrangement)
    return tuple(each for each in marks.marks if each.met is not None)


def graded(judged: CriterionMark, eye: int) -> Graded:
    """The criterion with the grade that its figure earns."""
    criterion = judged.criterion
    scale = grade_of(judged.value, criterion.least, criterion.most)
    return Graded(criterion.title, judged.stage, eye, scale)


def keep(by: str | None, at: datetime, recording: Path, grades: list[Graded]) -> None:
    """Raises WorkError where it cannot be written."""
    rows = [[each.criterion, each.stage, each.eye, each.scale] for each in grades]
    log_practice(judging_log(), by, at, {"recording": str(recording), "grades": rows})


def kept_grades(by: str | None) -> list[Graded]:
    """All that one person has marked; lines that are broken are passed over."""
    brews = practice_of(judging_log(), by, lambda data: [_graded(row) for row in data["grades"]])
    return [grade for brew in brews for grade in brew]


def _graded(row: list[Any]) -> Graded:
    criterion, stage, eye, scale = row
    places = range(len(GRADES))
    if eye not in places or scale not in places:
        raise ValueError(f"no such grades: {row!r:.60}")
    return Graded(str(criterion), None if stage is None else str(stage), int(eye), int(scale))
