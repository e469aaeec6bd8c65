"""The flow a moment ago, a few times a second."""

import math
from collections.abc import Callable

from pourcoach.domain.estimate import Settled
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.filter.lag_filter import LAG_S, LagFilter
from pourcoach.estimation.filter.two_modes import TwoModeFilter
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S

# A settled value at most this often: 20 a second are enough for a trace.
SETTLED_EVERY_TICKS = 45
# The filters are tuned for lively hands; of most, flow is known better by this share (fitted to
# simulated hands of two kinds, so that 95 % intervals hold 93 to 97 % of the time).
ERROR_SHARE = 0.92


class SettledFlow:
    """Of the lag filter where water may have run, of rest where none did."""

    __slots__ = ("_about_ticks", "_lagged", "_origin_s", "_ticks")

    def __init__(self, ticks: int, grams: Grams, origin_s: Seconds) -> None:
        """``origin_s``: when no tick had passed."""
        self._lagged = LagFilter(ticks, grams)
        self._origin_s = origin_s
        self._ticks = self._about_ticks = ticks

    def update(
        self, ticks: int, grams: Grams, good: float, period_s: Seconds, noise_var: float
    ) -> None:
        """The next reading of the unbroken weight, good with this probability."""
        self._lagged.update(ticks, grams, good, period_s, noise_var)

    def restart(self, modes: TwoModeFilter) -> None:
        """Go on from where the causal filter is."""
        self._lagged.restart(modes.ticks, modes.mass()[0], max(modes.flow()[0], 0.0))

    def rested(self, ticks: int, level_g: Grams, booked_g: Grams, error_gps: float) -> Settled:
        """A value of a rest that nobody filters."""
        self._ticks, self._about_ticks = ticks, ticks - int(LAG_S * TICKS_PER_S)
        t_s = self._origin_s + self._about_ticks / TICKS_PER_S
        return Settled(t_s, level_g - booked_g, 0.0, error_gps)

    def due(self, ticks: int) -> bool:
        """Whether it is time for another value."""
        return ticks - self._ticks >= SETTLED_EVERY_TICKS

    def settled(
        self,
        ticks: int,
        modes: TwoModeFilter,
        booked_g: Grams,
        may_run: Callable[[Seconds], bool],
    ) -> Settled | None:
        """The newest, on what is shown; None if it cannot be determined yet."""
        about_ticks = self._lagged.about_ticks
        if about_ticks is None or about_ticks <= self._about_ticks:
            return None
        self._ticks, self._about_ticks = ticks, about_ticks
        t_s = self._origin_s + about_ticks / TICKS_PER_S
        if not may_run(t_s):
            error_gps = ERROR_SHARE * math.sqrt(modes.flow()[1])
            return Settled(t_s, modes.level_g - booked_g, 0.0, error_gps)
        weight_g, flow_gps, error_gps = self._lagged.settled()
        return Settled(
            t_s, weight_g - booked_g, flow_gps if flow_gps > 0.0 else 0.0, ERROR_SHARE * error_gps
        )
