"""What the tapes on this machine say of one student's practice."""

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime

from pourcoach.domain.documents import from_json
from pourcoach.domain.errors import PourcoachError, WorkError
from pourcoach.domain.printable import json_text
from pourcoach.library.library import Library, library_path
from pourcoach.library.practised import keep_practised, practised_before
from pourcoach.practice.block.attempt import Attempt
from pourcoach.practice.block.result import Result
from pourcoach.practice.course import next_test
from pourcoach.practice.progress.next_drill import NextDrill, next_drill
from pourcoach.practice.progress.progress import DrillProgress, PourRecord, progress
from pourcoach.session.practice.drills import drills
from pourcoach.session.practice.shelf import KeptPour, attempt_on, kept_pours


@dataclass(frozen=True, slots=True)
class PracticeProgress:
    """Every drill that was practised, and the next one."""

    drills: tuple[DrillProgress, ...]
    next_drill: NextDrill | None


def practice_progress(by: str | None, now: datetime) -> PracticeProgress:
    """Worked out from the tapes anew, so that a better estimator makes old practice better."""
    kept = kept_pours(by)
    records = _records(kept)
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


def _records(kept: tuple[KeptPour, ...]) -> list[PourRecord]:
    """What the library has of them by this version; the others folded, and kept there."""
    found: list[PourRecord] = []
    with _cache() as library:
        for pour in kept:
            result = _result(pour, library)
            if result is not None:
                found.append(_record(pour, result))
    return found


@contextmanager
def _cache() -> Iterator[Library | None]:
    """The library, where there is one that can be used: without it all is worked out anew."""
    if not library_path().exists():
        yield None
        return
    try:
        library = Library(library_path())
    except WorkError:
        yield None
        return
    with library:
        yield library


def _result(pour: KeptPour, library: Library | None) -> Result | None:
    with suppress(PourcoachError, OSError, ValueError, TypeError, KeyError):
        if library is not None and (text := practised_before(library, pour.tape)) is not None:
            data = from_json(text)
            return None if data is None else Result.from_dict(data)
    attempt: Attempt | None = None
    with suppress(PourcoachError):
        attempt = attempt_on(pour.tape)
    result = None if attempt is None else attempt.result
    if library is not None and attempt is not None:
        # A cache that cannot be written costs time alone.
        with suppress(PourcoachError, OSError):
            keep_practised(
                library, pour.tape, json_text(None if result is None else result.as_dict())
            )
    return result


def _record(pour: KeptPour, result: Result) -> PourRecord:
    assignment = pour.assignment
    return PourRecord(
        pour.at,
        assignment.drill,
        assignment.title,
        assignment.mode,
        assignment.place.part,
        assignment.place.live_help,
        result,
        assignment.asks.measure,
    )
