"""The practice pours on this machine's tapes, found by their headers."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from pourcoach.domain.errors import PourcoachError
from pourcoach.library.library import ask_library
from pourcoach.library.paths import path_key
from pourcoach.library.practised import people_by_tape
from pourcoach.pipeline import Pipeline
from pourcoach.places import tapes_folder
from pourcoach.practice.assignment import Assignment, Mode
from pourcoach.practice.block.attempt import Attempt, Step
from pourcoach.practice.course import PastPour
from pourcoach.recordings.bounded_lines import BrokenLineError, bounded_lines
from pourcoach.recordings.shelf import tapes_in
from pourcoach.recordings.shipped import stem_of
from pourcoach.recordings.tape import TapeHeader, header_of, open_tape

# In a line of the tape; no reading holds it.
_ESTIMATE = b'"input": "estimate"'


@dataclass(frozen=True, slots=True)
class KeptPour:
    """One practice pour, as far as its tape's first line shows."""

    tape: Path
    at: datetime
    by: str | None
    assignment: Assignment

    @property
    def past(self) -> PastPour:
        """Its place in the course."""
        place = self.assignment.place
        return PastPour(self.assignment.mode, place.part, place.block, place.pour, self.at)


def kept_pours(by: str | None, drill: str | None = None) -> tuple[KeptPour, ...]:
    """Those of one person made to their end, of one drill or of all; oldest first.

    A tape that cannot be read is passed over.
    """
    found: list[KeptPour] = []
    people: dict[str | bytes, str] = ask_library(people_by_tape, {})
    for path in tapes_in(tapes_folder()):
        pour = _kept_pour(path)
        if pour is None or not _same(people.get(path_key(path), pour.by), by):
            continue
        if drill is not None and pour.assignment.drill != drill:
            continue
        if pour.assignment.mode is Mode.ASSIST or _estimated(path):
            found.append(pour)
    return tuple(sorted(found, key=lambda pour: (pour.at, stem_of(pour.tape))))


def assignment_of(header: TapeHeader) -> Assignment | None:
    """What a tape was practice of; None where it was none, or of a kind unknown here."""
    if header.practice is None or header.plan is None:
        return None
    try:
        return Assignment.from_dict(header.practice)
    except (ValueError, PourcoachError):
        return None


def attempt_on(tape: Path) -> Attempt | None:
    """The pour on a tape, folded as it was live; None where it is no practice.

    Raises WorkError where the tape cannot be read.
    """
    with open_tape(tape) as stream:
        header = stream.header
        assignment = assignment_of(header)
        if assignment is None or header.plan is None:
            return None
        pipeline = Pipeline(header.plan, header.setup)
        attempt = Attempt(assignment, header.plan)
        fed = False
        for item in stream:
            fed = True
            attempt.feed(item, pipeline.feed(item))
        if fed and attempt.step is not Step.SHOWN:
            attempt.close(pipeline.finish(stream.last_s))
        return attempt


def _estimated(path: Path) -> bool:
    """Whether the pour came to its end: the student's estimate is asked for there."""
    try:
        with bounded_lines(path) as lines:
            return any(_ESTIMATE in line for line in lines)
    except (BrokenLineError, PourcoachError):
        return False


def _kept_pour(path: Path) -> KeptPour | None:
    try:
        header = header_of(path)
        assignment = assignment_of(header)
        if assignment is None:
            return None
        at = datetime.fromisoformat(header.recorded_at)
    except (ValueError, PourcoachError):
        return None
    return KeptPour(path, at if at.tzinfo else at.astimezone(), header.by, assignment)


def _same(by: str | None, other: str | None) -> bool:
    """Names as the library takes them: whatever their case."""
    return (by or "").casefold() == (other or "").casefold()
