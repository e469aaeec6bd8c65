"""What the tapes on this machine say of one student's practice."""

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from pathlib import Path

from pourcoach.domain.errors import PourcoachError
from pourcoach.practice.block.attempt import Attempt
from pourcoach.practice.course import next_test
from pourcoach.practice.progress.next_drill import NextDrill, next_drill
from pourcoach.practice.progress.progress import DrillProgress, PourRecord, progress
from pourcoach.session.drills import drills
from pourcoach.session.practice_shelf import KeptPour, attempt_on, kept_pours


@dataclass(frozen=True, slots=True)
class PracticeProgress:
    """Every drill that was practised, and the next one."""

    drills: tuple[DrillProgress, ...]
    next_drill: NextDrill | None


def practice_progress(by: str | None, now: datetime) -> PracticeProgress:
    """Worked out from the tapes anew, so that a better estimator makes old practice better."""
    kept = kept_pours(by)
    records = [record for pour in kept if (record := _record(pour)) is not None]
    found = progress(records)
    bands = {
        record.drill: record.result.lead.band for record in sorted(records, key=lambda r: r.at)
    }
    due = {}
    known = drills()[0]
    for drill in known:
        history = [pour.past for pour in kept if pour.assignment.drill == drill.name]
        test = next_test(history, drill.schedule)
        if test is not None and test.at <= now:
            due[drill.name] = test
    return PracticeProgress(found, next_drill([drill.name for drill in known], found, bands, due))


def _record(pour: KeptPour) -> PourRecord | None:
    attempt: Attempt | None = None
    with suppress(PourcoachError):
        attempt = _folded(pour.tape, pour.tape.stat().st_mtime_ns)
    if attempt is None or attempt.result is None:
        return None
    assignment = pour.assignment
    return PourRecord(
        pour.at,
        assignment.drill,
        assignment.title,
        assignment.mode,
        assignment.place.part,
        assignment.place.live_help,
        attempt.result,
    )


@lru_cache(maxsize=1000)
def _folded(tape: Path, _changed_ns: int) -> Attempt | None:
    """A screen that is opened again folds only what is new."""
    return attempt_on(tape)
