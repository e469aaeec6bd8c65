"""Lines into readings: plain or checked, distinguished by what comes."""

from collections import Counter, deque
from collections.abc import Callable
from math import inf

from pourcoach.domain.inputs import Reading
from pourcoach.domain.units import Grams, Seconds
from pourcoach.wire.decoder import MOST_G, DropReason
from pourcoach.wire.device_clock import DeviceClock
from pourcoach.wire.lines.checked_line import AboutLine, CheckedLine, looks_checked, parse_checked
from pourcoach.wire.lines.line_stream import LineStream, StreamLine
from pourcoach.wire.lines.plain_line import is_text, parse_plain

# A radio stack that hands each notification over twice does so at once or one burst later.
REMEMBERED_LINES = 16
# A plain number proves nothing by itself: among random bytes, one line in three thousand is one. It
# is believed while at least half of so many lines up to it were text; of random lines, one in two
# hundred is.
TRUSTED_LINES = 12


class LineDecoder:
    """Any cut of the bytes gives the same readings.

    Once a good checked line has come, plain ones are rubbish: they carry no proof.
    A line that may be torn (``LineStream``) is taken only if it is checked.
    """

    def __init__(
        self,
        *,
        channel: int | None = None,
        raw: bool = False,
        calibrated: Callable[[float], Grams] | None = None,
        pauses: bool = False,
    ) -> None:
        """``channel`` (from 1) picks among several weights in a plain line.

        With ``raw``, lines of counts become readings, and lines of grams do not: ``grams`` are
        then counts, or what ``calibrated`` makes of them. ``pauses`` as ``LineStream`` has it.
        """
        self._stream = LineStream(pauses=pauses)
        self._channel = channel
        self._raw = raw
        self._calibrated = calibrated
        self._clock = DeviceClock()
        self._recent: deque[tuple[int, int]] = deque(maxlen=REMEMBERED_LINES)
        self._dropped: Counter[DropReason] = Counter()
        self._text: deque[bool] = deque(maxlen=TRUSTED_LINES)
        """Of the last lines, which were text."""
        self.checked = False
        """Whether a good checked line has come."""
        self.about: dict[str, str] = {}
        """What the scale reported about itself in answer to ``about``."""
        self.missed = 0
        """Readings that the sequence numbers show as lost on the way."""

    @property
    def dropped(self) -> Counter[DropReason]:
        """Lines that gave no reading, by reason."""
        return self._dropped

    def feed(self, data: bytes, t_s: Seconds) -> list[Reading]:
        """Take the next bytes, arrived at ``t_s``; the readings they complete, oldest first."""
        readings = []
        for line in self._stream.feed(data, t_s):
            reading = self._reading(line, t_s)
            if isinstance(reading, DropReason):
                self._dropped[reading] += 1
            elif reading is not None:
                readings.append(reading)
        return readings

    def _reading(self, line: StreamLine, t_s: Seconds) -> Reading | DropReason | None:
        if line.data is None:
            self._text.append(False)
            return DropReason.TOO_LONG
        if looks_checked(line.data):
            parsed = parse_checked(line.data)
            if isinstance(parsed, DropReason):
                return DropReason.CUT if line.torn else parsed
            self.checked = True
            if isinstance(parsed, AboutLine):
                self.about = parsed.facts
                return None
            return self._checked_reading(parsed, t_s)
        if self.checked:
            return DropReason.UNCHECKED
        if line.torn:
            return DropReason.CUT
        self._text.append(is_text(line.data))
        if 2 * sum(self._text) < len(self._text):
            return DropReason.RUBBISH if self._text[-1] else DropReason.NOT_TEXT
        return self._plain_reading(line.data, t_s)

    def _checked_reading(self, line: CheckedLine, t_s: Seconds) -> Reading | DropReason:
        stamp = (line.sequence, line.device_ms)
        if stamp in self._recent:
            return DropReason.REPEATED
        if self._recent:
            self.missed += max(0, line.sequence - self._recent[-1][0] - 1)
        self._recent.append(stamp)
        if line.raw != self._raw:
            return DropReason.GRAMS if self._raw else DropReason.COUNTS
        device_s = self._clock.seconds(line.device_ms)
        if self._calibrated is None:
            return Reading(t_s, line.value, device_s, line.sequence, line.corners)
        # A calibration is of the sum: it says nothing of what each cell shows when empty.
        return Reading(t_s, self._calibrated(line.value), device_s, line.sequence)

    def _plain_reading(self, line: bytes, t_s: Seconds) -> Reading | DropReason:
        parsed = parse_plain(line, self._channel, inf if self._raw else MOST_G)
        if isinstance(parsed, DropReason):
            return parsed
        channel = self._channel or 1
        if channel > len(parsed.channels_g):
            return DropReason.NO_NUMBER
        value = parsed.channels_g[channel - 1]
        grams = value if self._calibrated is None else self._calibrated(value)
        return Reading(t_s, grams, stable=parsed.stable)
