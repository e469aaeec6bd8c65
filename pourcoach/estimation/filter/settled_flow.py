"""Settled values: the weight and the flow of a moment ago, some 20 a second."""

import math
from collections.abc import Callable
from typing import TypeAlias

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
# Settled values that come late, and the newest one.
NewValues: TypeAlias = tuple[tuple[Settled, ...], Settled | None]
NOTHING_NEW: NewValues = ((), None)


class SettledFlow:
    """Makes the settled values: from the lag filter where water may have run, at flow 0
    elsewhere."""

    __slots__ = ("_about_ticks", "_late", "_next_ticks", "_origin_s", "due_ticks", "lagged")

    def __init__(self, ticks: int, grams: Grams, origin_s: Seconds) -> None:
        """``origin_s``: the time at tick 0."""
        self.lagged = LagFilter(ticks, grams)
        """The filter, to be fed every reading of the unbroken weight."""
        self._origin_s = origin_s
        self._about_ticks = ticks
        self._next_ticks = self.due_ticks = ticks + SETTLED_EVERY_TICKS
        """``due_ticks``: when there may be a new value, at once while some are late."""
        self._late: tuple[Settled, ...] = ()
        """Values of readings that were held back, oldest first."""

    def restart(self, modes: TwoModeFilter) -> None:
        """Start the lag filter again from the state of the causal filter."""
        self.lagged.restart(modes.state.ticks, modes.mass_g, max(modes.flow_gps, 0.0))

    def rested(self, ticks: int, level_g: Grams, booked_g: Grams, error_gps: float) -> Settled:
        """Return a settled value during a rest, where the lag filter is not fed."""
        self._about_ticks = ticks - int(LAG_S * TICKS_PER_S)
        self._next_ticks = self.due_ticks = ticks + SETTLED_EVERY_TICKS
        t_s = self._origin_s + self._about_ticks / TICKS_PER_S
        return Settled(t_s, level_g - booked_g, 0.0, error_gps)

    def catch_up(
        self, ticks: int, modes: TwoModeFilter, booked_g: Grams, may_run: Callable[[Seconds], bool]
    ) -> None:
        """Keep the value of a reading that was held back, if one is due with it."""
        if ticks >= self._next_ticks and (one := self._settled(ticks, modes, booked_g, may_run)):
            self._late = (*self._late, one)
            self.due_ticks = ticks

    def newest(
        self, ticks: int, modes: TwoModeFilter, booked_g: Grams, may_run: Callable[[Seconds], bool]
    ) -> NewValues:
        """Return the values kept, oldest first, and after them the newest settled value, with the
        weight as it is shown (less ``booked_g``); None if there is none yet. ``may_run`` says
        whether water may have run at a time."""
        late, self._late = self._late, ()
        self.due_ticks = self._next_ticks
        settled = None
        if ticks >= self._next_ticks:
            settled = self._settled(ticks, modes, booked_g, may_run)
        return (late[:-1], late[-1]) if settled is None and late else (late, settled)

    def _settled(
        self, ticks: int, modes: TwoModeFilter, booked_g: Grams, may_run: Callable[[Seconds], bool]
    ) -> Settled | None:
        about_ticks = self.lagged.about_ticks
        if about_ticks is None or about_ticks <= self._about_ticks:
            return None
        self._about_ticks = about_ticks
        self._next_ticks = self.due_ticks = ticks + SETTLED_EVERY_TICKS
        t_s = self._origin_s + about_ticks / TICKS_PER_S
        if not may_run(t_s):
            error_gps = ERROR_SHARE * math.sqrt(modes.flow_var)
            return Settled(t_s, modes.state.level_g - booked_g, 0.0, error_gps)
        weight_g, flow_gps, error_gps = self.lagged.settled()
        return Settled(
            t_s, weight_g - booked_g, flow_gps if flow_gps > 0.0 else 0.0, ERROR_SHARE * error_gps
        )
