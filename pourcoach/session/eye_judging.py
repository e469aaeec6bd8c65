"""Brews marked by eye before the figures are shown, kept for each judge."""

import os
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from pourcoach.coaching.marking.marking import CriterionMark, mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.documents import DocumentError, from_json
from pourcoach.domain.errors import PourcoachError, WorkError, reason
from pourcoach.domain.printable import json_text
from pourcoach.library.practised import practice_logs
from pourcoach.places import OWNER_ONLY_FILE, data_folder, private_folder
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
    """With the grade that the figure earns."""
    criterion = judged.criterion
    scale = grade_of(judged.value, criterion.least, criterion.most)
    return Graded(criterion.title, judged.stage, eye, scale)


def judgements_path() -> Path:
    """Every brew that anybody marked by eye, a line each."""
    return practice_logs()[1]


def keep(by: str | None, at: datetime, recording: Path, grades: list[Graded]) -> None:
    """Raises WorkError where it cannot be written."""
    rows = [[each.criterion, each.stage, each.eye, each.scale] for each in grades]
    data = {
        "by": by,
        "at": at.isoformat(timespec="seconds"),
        "recording": str(recording),
        "grades": rows,
    }
    try:
        private_folder(data_folder())
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND
        with os.fdopen(os.open(judgements_path(), flags, OWNER_ONLY_FILE), "a") as lines:
            lines.write(json_text(data) + "\n")
    except OSError as error:
        raise WorkError(f"cannot keep it in {judgements_path()}: {reason(error)}") from None


def kept_grades(by: str | None) -> list[Graded]:
    """All that one person has marked; lines that are broken are passed over."""
    found: list[Graded] = []
    try:
        lines = judgements_path().read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return []
    for line in lines:
        with suppress(DocumentError, PourcoachError, ValueError, TypeError, KeyError):
            data = from_json(line)
            if str(data.get("by") or "").casefold() == (by or "").casefold():
                found += [_graded(row) for row in data["grades"]]
    return found


def _graded(row: list[Any]) -> Graded:
    criterion, stage, eye, scale = row
    places = range(len(GRADES))
    if eye not in places or scale not in places:
        raise ValueError(f"no such grades: {row!r:.60}")
    return Graded(str(criterion), None if stage is None else str(stage), int(eye), int(scale))
