"""One tape judged for the library."""

from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path

from pourcoach.coaching.marking.marking import mark
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Seconds
from pourcoach.library.judged import judging_version
from pourcoach.library.records import Curve, Judgement
from pourcoach.recordings.fold import judged_tape
from pourcoach.recordings.tape import TapeHeader
from pourcoach.reports.brew.curve import CurvePoint, CurveTaker, brew_curve
from pourcoach.reports.figures import figures
from pourcoach.scales.address import ScaleAddress
from pourcoach.session.rubric_in_use import judged_under

APART_S: Seconds = 0.5
"""A preview has fewer columns than a brew has half seconds."""
MOST_POINTS = 7_200
"""An hour of them."""
_HASH_LENGTH = 8


def rubric_version(rubric: Rubric) -> str:
    """The rubric's name and a hash of all that it asks."""
    return f"{rubric.name}+{sha256(repr(rubric).encode()).hexdigest()[:_HASH_LENGTH]}"


def judge(tape: Path, rubric: Rubric) -> Judgement:
    """Judge the tape whole. Raises WorkError where it cannot be read or is no tape."""
    taker = CurveTaker()
    judged = judged_tape(tape, lambda header: judged_under(header, rubric), taker.take)
    header, last = judged.header, judged.last
    marks = None if last is None else mark(last, header.plan, rubric, header.setup.arrangement)
    found = figures(tape.name, judged, marks)
    points = brew_curve(last, taker.points).thinned(APART_S)[:MOST_POINTS]
    return Judgement(
        judging_version(),
        rubric_version(rubric),
        found,
        _rounded(points),
        None if last is None or not _by_hand(header) else last.reaction_s,
    )


def _by_hand(header: TapeHeader) -> bool:
    """Whether a person stopped the pours, and no simulated hand."""
    try:
        return ScaleAddress.parse(str(header.scale.get("address"))).live
    except UsageError:
        return False


def _rounded(points: Iterable[CurvePoint]) -> Curve:
    """To what a scale can resolve, which packs well."""
    return tuple((round(t_s, 2), round(g, 2), round(gps, 3)) for t_s, g, gps in points)
