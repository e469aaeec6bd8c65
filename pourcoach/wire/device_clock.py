"""The scale's own clock, unwrapped."""

from pourcoach.domain.units import Seconds

WRAP_MS = 2**32
"""A millisecond counter of 32 bits: it wraps after 49.7 days."""


class DeviceClock:
    """Turns the wrapping millisecond count into seconds that only rise."""

    def __init__(self, wrap_ms: int = WRAP_MS) -> None:
        self._wrap_ms = wrap_ms
        self._last_ms: int | None = None
        self._turns_ms = 0

    def seconds(self, device_ms: int) -> Seconds:
        """With the scale's own origin. Falls back only where the scale started anew.

        A count that went back by more than half the range has wrapped; by less, the scale's
        clock was set back, as after a reset, and is taken as it comes.
        """
        if self._last_ms is not None and self._last_ms - device_ms > self._wrap_ms // 2:
            self._turns_ms += self._wrap_ms
        self._last_ms = device_ms
        return (self._turns_ms + device_ms) / 1000.0
