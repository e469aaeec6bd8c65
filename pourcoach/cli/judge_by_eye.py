"""Brews marked on the rubric by eye, then by the scale: how far do the two agree?"""

import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import UsageError
from pourcoach.practice.judging.agreement import Agreement
from pourcoach.practice.judging.grades import GRADES, Graded, eye_and_scale
from pourcoach.session.practice.eye_judging import graded, keep, kept_grades, to_be_judged

ANSWERS = ", ".join(f"{number} {grade}" for number, grade in enumerate(GRADES, 1))
FEW = 20
"""Grades below which the interval of kappa is too narrow to be gone by (common practice)."""


def judge_by_eye(
    recordings: Sequence[Path], by: str | None, rubric: Rubric, now: Callable[[], datetime]
) -> int:
    """Ask for a grade of each criterion, then show the figures' grades and the agreement so far.

    Where standard input ends before a brew is marked, that brew is not kept. The exit status.
    """
    if not recordings:
        raise UsageError("no brew is named", "give its recording: practise judge FILE")
    for path in recordings:
        marks = to_be_judged(path, rubric)
        print(f"\n{path.name}: mark it by what you saw of the brew, before the figures.")
        print(f"For each: {ANSWERS}; Enter leaves it out.")
        grades: list[Graded] = []
        for mark in marks:
            where = "" if mark.stage is None else f", {mark.stage}"
            eye = _asked(f"{mark.criterion.title}{where}? ")
            if eye is None:
                print("\nNot all was marked: this brew is not kept.")
                return 1
            if eye >= 0:
                grades.append(graded(mark, eye))
        keep(by, now(), path, grades)
        for each in grades:
            where = "" if each.stage is None else f", {each.stage}"
            same = "" if each.eye == each.scale else "   <- differs"
            print(
                f"{each.criterion}{where}: you {GRADES[each.eye]}, the scale"
                f" {GRADES[each.scale]}{same}"
            )
    found = kept_grades(by)
    print(f"\n{agreement_sentence(eye_and_scale(found), len(found))}")
    return 0


def agreement_sentence(found: Agreement | None, grades: int) -> str:
    """Weighted kappa with its interval, or that there is too little."""
    if found is None:
        return (
            f"Too little to tell how far you and the scale agree: {grades} grades, or all the same."
        )
    low, high = found.interval
    few = f" With fewer than {FEW} the interval is too narrow." if grades < FEW else ""
    return (
        f"You and the scale agree by a weighted kappa of {found.kappa:.2f} ({low:.2f} to"
        f" {high:.2f}) over {grades} grades: 1 is always, 0 as by chance.{few}"
    )


def _asked(question: str) -> int | None:
    """Index of the grade; -1 where it is left out, None where nothing more is typed."""
    while True:
        print(question, end="", flush=True)
        line = sys.stdin.readline()
        if not line:
            return None
        answer = line.strip()
        if not answer:
            return -1
        if answer.isascii() and answer.isdecimal() and 1 <= int(answer) <= len(GRADES):
            return int(answer) - 1
        print(f"{answer!r:.20} is no grade; there are {ANSWERS}")
