"""What is shared, as the one who shares it looks at it."""

from typing import Protocol

from pourcoach.domain.advice import FlagKind
from pourcoach.sharing.seen import SeenStation
from pourcoach.sharing.tile import TileFinding


class SharedBrew(Protocol):
    """The brew that is shared."""

    def look(self) -> SeenStation: ...

    def findings(self) -> list[tuple[tuple[FlagKind, str | None], TileFinding]]:
        """All so far; by their kind and stage, since hindsight may word one anew."""
        ...
