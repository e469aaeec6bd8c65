"""Whether readings have stopped coming."""

from pourcoach.domain.inputs import Input, Link, Reading
from pourcoach.domain.units import Seconds

SILENT_S: Seconds = 0.6
"""After so long without a reading the weight shown is out of date: common practice."""


class Silences:
    """Watches readings and the link."""

    def __init__(self) -> None:
        self._reading_s: Seconds = 0.0
        self._up = True

    def feed(self, item: Input) -> Seconds | None:
        """Take the next input; return how long no reading has come if that is too long or the link
        is lost, else None."""
        if isinstance(item, Reading):
            self._reading_s, self._up = item.t_s, True
            return None
        if isinstance(item, Link):
            self._up = item.up
        silent_s = item.t_s - self._reading_s
        return None if self._up and silent_s <= SILENT_S else silent_s
