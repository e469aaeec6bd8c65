"""Whether the scale's own clock can be trusted."""

from pourcoach.domain.units import Seconds

# A clock that was set anew runs on from there; one that steps back or stands still so often does
# not run. Readings that overtake one another on their way step back, but rarely.
MOST_STEPS_BACK = 3
# Readings that came twice stand still, but not for so long.
STANDS_S = 0.5
# A step back by more is a clock set anew.
RESTART_S = 2.0
# Steps back are forgotten after so many readings that went forward.
FORGOTTEN_AFTER = 100


class DeviceClockWatch:
    """Checks the device time of each reading."""

    __slots__ = ("_back", "_device_s", "_forward", "_moved_s", "trusted")

    def __init__(self) -> None:
        self._device_s: Seconds | None = None
        self._moved_s: Seconds = 0.0
        self._back = self._forward = 0
        self.trusted = True
        """False, and stays so, once the clock has stepped back or stood still too often."""

    def see(self, arrival_s: Seconds, device_s: Seconds) -> bool:
        """Take the device time of the next reading; return whether the clock can still be
        trusted."""
        before_s, self._device_s = self._device_s, device_s
        if before_s is None or device_s > before_s or device_s < before_s - RESTART_S:
            self._moved_s = arrival_s
            if self._back:
                self._forward += 1
                if self._forward >= FORGOTTEN_AFTER:
                    self._back = self._forward = 0
            return self.trusted
        if device_s < before_s:
            self._back += 1
            self._forward = 0
        if self._back >= MOST_STEPS_BACK or arrival_s - self._moved_s > STANDS_S:
            self.trusted = False
        return self.trusted
