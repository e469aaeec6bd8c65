"""A session to be shown, and what may follow it."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pourcoach.session.protocols import Session


@dataclass(frozen=True, slots=True)
class Showing:
    """What the app needs to show one brew, live or replayed, and its review."""

    session: Session
    tape: Path | None = None
    """Its recording: what the review replays, and keeps the brewer's own words with. None where
    nothing is kept."""
    again: "Callable[[], Showing] | None" = None
    """Makes the next brew of the same kind; None where there can be none. May raise
    PourcoachError."""
