"""A recording at a glance: its curve and how it came out, for a list to be picked from."""

from dataclasses import dataclass
from pathlib import Path

from pourcoach.coaching.marking.marking import mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase
from pourcoach.domain.units import Grams, Seconds
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import read_tape
from pourcoach.reports.stage_table import result_line
from pourcoach.reports.verdict import verdict
from pourcoach.session.rubric_in_use import judged_by

# More points than a preview has columns are not seen.
BETWEEN_POINTS_S: Seconds = 0.5


@dataclass(frozen=True, slots=True)
class RecordingGlance:
    """What a preview shows."""

    plan: Plan | None
    points: tuple[tuple[Seconds, Grams], ...]
    """Seconds from first water, and what was poured by then."""
    result: str
    """Water, ratio and time."""
    headline: str
    """What the review leads with."""


def glance(path: Path, rubric: Rubric) -> RecordingGlance:
    """Judge the recording whole: some tenths of a second. Raises WorkError where it is no tape."""
    tape = judged_by(read_tape(path), rubric)
    plan, arrangement = tape.header.plan, tape.header.setup.arrangement
    last = None
    curve: list[tuple[Seconds, Grams]] = []
    for frame in frames(tape):
        last = frame
        if frame.pour.phase in (Phase.READY, Phase.DONE):
            continue
        if not curve or frame.t_s - curve[-1][0] >= BETWEEN_POINTS_S:
            curve.append((frame.t_s, frame.weight_g))
    if last is None:
        return RecordingGlance(plan, (), "Nothing is recorded.", "")
    start_s = last.pour.brew_start_s or 0.0
    points = tuple((t_s - start_s, mass_g) for t_s, mass_g in curve if t_s >= start_s)
    return RecordingGlance(
        plan,
        points,
        result_line(last.pour, plan, arrangement),
        verdict(last, plan, mark(last, plan, rubric, arrangement), arrangement).headline,
    )
