"""A recording at a glance: its curve and how it came out, for a list to be picked from."""

from dataclasses import dataclass
from pathlib import Path

from pourcoach.coaching.marking.marking import mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Grams, Seconds
from pourcoach.recordings.fold import judged_tape
from pourcoach.reports.brew.curve import CurveTaker, brew_curve
from pourcoach.reports.brew.stage_table import result_line
from pourcoach.reports.brew.verdict import verdict
from pourcoach.session.rubric_in_use import judged_under

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
    taker = CurveTaker()
    judged = judged_tape(path, lambda header: judged_under(header, rubric), taker.take)
    plan, arrangement, last = judged.header.plan, judged.header.setup.arrangement, judged.last
    if last is None:
        return RecordingGlance(plan, (), "Nothing is recorded.", "")
    points = brew_curve(last, taker.points).thinned(BETWEEN_POINTS_S)
    return RecordingGlance(
        plan,
        tuple((point.t_s, point.mass_g) for point in points),
        result_line(last.pour, plan, arrangement),
        verdict(last, plan, mark(last, plan, rubric, arrangement), arrangement).headline,
    )
