"""Small tapes for tests of the library, whose figures do not matter."""

from pathlib import Path

from pourcoach.domain.inputs import Reading
from pourcoach.recordings.tape import TapeHeader
from pourcoach.recordings.writer import TapeWriter

MORNING = "2026-01-15T09:30:00+00:00"
NOON = "2026-01-15T12:00:00+00:00"


def make_tape(
    path: Path,
    recorded_at: str = MORNING,
    by: str | None = None,
    *,
    grams: float = 0.0,
    ended: bool = True,
) -> Path:
    """A new tape of two readings; another ``grams`` is another brew."""
    with TapeWriter(path, TapeHeader(recorded_at=recorded_at, by=by), spares=()) as tape:
        tape.append(Reading(0.1, grams))
        tape.append(Reading(0.2, grams))
        if ended:
            tape.finish(0.3)
    return path
