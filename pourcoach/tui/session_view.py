"""A session to be shown, and what may follow it."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pourcoach.session.protocols import Recorder, Session


@dataclass(frozen=True, slots=True)
class SessionView:
    """What the app needs to show one brew, live or replayed, and its review."""

    session: Session
    named: Path | None = None
    """The recording of a brew that is replayed, or is to be made; None where nothing is kept."""
    again: "Callable[[], SessionView] | None" = None
    """Makes the next brew of the same kind; None where there can be none. May raise
    PourcoachError."""

    @property
    def tape(self) -> Path | None:
        """Where the recording is: what the review replays, and keeps the brewer's own words with.

        A live one may lie elsewhere than it was to; None where there is none.
        """
        return self.session.recording if isinstance(self.session, Recorder) else self.named
