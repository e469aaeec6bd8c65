"""The rubric that brews are marked by: one named, the trainer's own where it is usually kept, or
the one that ships.
"""

from dataclasses import replace
from pathlib import Path

from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, Rubric, read_rubric
from pourcoach.domain.plan import Plan
from pourcoach.places import rubric_path
from pourcoach.recordings.tape import Tape, TapeHeader
from pourcoach.text_file import content_of, read_text


def rubric_in_use(named: Path | None = None, *, own: bool = True) -> Rubric:
    """``named``; else the user's own if there is one, unless ``own`` leaves it out; else the usual.

    Raises WorkError where the file cannot be read or is no rubric.
    """
    if named is not None:
        return _read(named)
    path = rubric_path()
    if own and path.exists():
        return _read(path)
    return read_rubric(DEFAULT_RUBRIC)


def planned_under(plan: Plan, rubric: Rubric) -> Plan:
    """The plan with the rubric's limits for flags in place of its own, where it sets any."""
    return plan if rubric.limits is None else replace(plan, limits=rubric.limits)


def judged_by(tape: Tape, rubric: Rubric) -> Tape:
    """The tape with the rubric's limits for flags in place of its plan's, where it sets any."""
    if tape.header.plan is None:
        return tape
    return replace(tape, header=judged_under(tape.header, rubric))


def judged_under(header: TapeHeader, rubric: Rubric) -> TapeHeader:
    """The same of a tape's header."""
    if header.plan is None:
        return header
    return replace(header, plan=planned_under(header.plan, rubric))


def _read(path: Path) -> Rubric:
    with content_of(path):
        return read_rubric(read_text(path, "the rubric"))
