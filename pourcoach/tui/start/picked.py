"""What was picked on the start screen."""

from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from pourcoach.domain.plan import Arrangement, Plan


class StartAction(Enum):
    """What the user wants from the start screen."""

    BREW = "brew"
    REPLAY = "replay"
    PRACTISE = "practise"
    SESSIONS = "sessions"
    QUIT = "quit"


@dataclass(frozen=True, slots=True)
class StartChoice:
    """An action, with what it needs."""

    action: StartAction
    scale: str
    """Scale address."""
    plan: Plan
    recording: Path | None
    by: str | None
    """Who brews; None where nobody was named."""
    arrangement: Arrangement = Arrangement.BREWER_ON_SCALE
    focused: int = 0
    """Which list was in focus, from the left."""
