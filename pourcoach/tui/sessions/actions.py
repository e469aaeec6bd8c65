"""What leads from the list of brews to other screens."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from pourcoach.tui.off_loop import Failed


@dataclass(frozen=True, slots=True)
class BrewActions:
    """Each calls the function given last with what went wrong."""

    review: Callable[[Path, Failed], None]
    replay: Callable[[Path, Failed], None]
    compare: Callable[[Sequence[Path], Failed], None]
