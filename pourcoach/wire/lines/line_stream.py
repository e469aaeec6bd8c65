"""Lines of a link that may lose bytes: which of them are whole cannot always be known."""

from collections import deque
from dataclasses import dataclass
from itertools import pairwise
from math import inf
from statistics import median

from pourcoach.domain.units import Seconds
from pourcoach.wire.lines.line_splitter import LineSplitter

# A line is sent at once: at 1200 baud its 20 bytes take 0.17 s, and a radio hands over what it has
# every 0.05 s (measured; see its bursts). Bytes that stay away for longer may have been lost.
PAUSE_S: Seconds = 0.4
# A scale that sends a line a second pauses between any two of them.
PAUSE_PERIODS = 3.0
RECENT_LINES = 9


@dataclass(frozen=True, slots=True)
class StreamLine:
    """One line without its end; None for one that was too long to keep."""

    data: bytes | None
    torn: bool
    """Whether its beginning, or a piece of its middle, may be missing: it is no reading, unless a
    checksum proves it whole."""


class LineStream:
    """Splits a stream into lines. The first may have begun before we listened, and the one around
    or right after a pause may have lost bytes to it."""

    def __init__(self, *, pauses: bool = False) -> None:
        """``pauses``: the scale is known to pause at will, as one that sends on a change."""
        self._splitter = LineSplitter()
        self._pauses = pauses
        self._torn = True
        self._last_s: Seconds | None = None
        self._ended_s: deque[Seconds] = deque(maxlen=RECENT_LINES)

    def feed(self, data: bytes, t_s: Seconds) -> list[StreamLine]:
        """Take the next bytes, arrived at ``t_s``; the lines they complete, oldest first."""
        if self._last_s is not None and t_s - self._last_s > self._longest_pause_s():
            self._torn = True
        self._last_s = t_s
        lines = []
        for line in self._splitter.feed(data):
            lines.append(StreamLine(line, self._torn))
            self._torn = False
            self._ended_s.append(t_s)
        return lines

    def _longest_pause_s(self) -> Seconds:
        if self._pauses or len(self._ended_s) < 3:
            return inf
        periods_s = [after - before for before, after in pairwise(self._ended_s)]
        return max(PAUSE_S, PAUSE_PERIODS * median(periods_s))
