"""The flow a moment ago, much surer than the flow now: a fixed-lag smoother with steady gains.

At a steady rate the gains of the wobble filter settle within seconds, and so do those by which
each later reading corrects an earlier state (Moore 1973, "Discrete-time fixed-lag smoothing
algorithms", Automatica 9:163):

    x(s | t) = x(s | s) + Σ P Lᵢᵀ Hᵀ ν(s + i) / S,      L = F (I - K H)

They are worked out once for a rate and a noise, and looked up after that.
"""

import math
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from operator import mul
from typing import TypeAlias

from pourcoach.domain.estimate import Settled
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.filter.two_modes import TwoModeFilter
from pourcoach.estimation.filter.wobble_filter import Covariance, Mean, correct, predict
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S, WobbleModel, steps_of

# Chosen on simulated hands of two kinds, for the least error 0.2 s late.
MODEL = WobbleModel(frequency_hz=0.8, damping=0.4, variance=1.8, drift=0.6)
# Settled values look back this far: beyond it they hardly become surer.
LAG_S = 0.2
# Steady gains are near enough when rate and noise are within these of the truth.
RATE_OFF = 0.03
NOISE_STEPS_PER_OCTAVE = 4
# A reading is missing when this many periods have passed since the last.
MISSING_PERIODS = 1.6
# A settled value at most this often: 20 a second are enough for a trace.
SETTLED_EVERY_TICKS = 45
# The filters are tuned for lively hands; of most, flow is known better by this share (fitted to
# simulated hands of two kinds, so that 95 % intervals hold 93 to 97 % of the time).
ERROR_SHARE = 0.92
_SETTLES_S = 6.0
_NONE: Mean = (0.0, 0.0, 0.0, 0.0)
# Settled values that come late, and the newest one.
NewValues: TypeAlias = tuple[tuple[Settled, ...], Settled | None]
NOTHING_NEW: NewValues = ((), None)


@dataclass(frozen=True, slots=True)
class SteadyGains:
    """What the covariances settle to at one rate, noise and lag."""

    filter: Mean
    """K, the gain of the newest state."""
    lag_flow: tuple[float, ...]
    """What each later innovation, oldest first, adds to the flow at the lag, 1/s."""
    lag_weight: tuple[float, ...]
    flow_error_gps: GramsPerSecond
    """Standard error of the flow at the lag."""


@lru_cache(maxsize=256)
def steady_gains(
    model: WobbleModel, period_ticks: float, noise_var: float, lag: int
) -> SteadyGains:
    """Return the gains for readings every ``period_ticks`` milliseconds with noise variance
    ``noise_var`` (g²), looking ``lag`` readings back."""
    step = steps_of(model)[period_ticks]
    omega = 2.0 * math.pi * model.frequency_hz
    vm, vd = model.variance, model.variance * omega * omega
    posterior: Covariance = (noise_var, 0.0, 0.0, 0.0, vm, 0.0, 0.0, vm, 0.0, vd)
    prior = posterior
    for _ in range(math.ceil(_SETTLES_S * TICKS_PER_S / period_ticks)):
        _, prior = predict(_NONE, posterior, step)
        _, posterior = correct(_NONE, prior, 0.0, prior[0] + noise_var)
    error_var = prior[0] + noise_var
    k0, k1, k2, k3 = (p / error_var for p in prior[:4])
    p00, p01, p02, p03, p11, p12, p13, p22, p23, _ = posterior

    def later(r0: float, r1: float, r2: float, r3: float) -> tuple[float, ...]:
        """Gains of a figure of the state whose covariance with the state is ``r``."""
        gains = []
        for _ in range(lag):
            r0, r2, r3 = (
                r0 + step.f01 * r1 + step.f02 * r2 + step.f03 * r3,
                step.f22 * r2 + step.f23 * r3,
                step.f32 * r2 + step.f33 * r3,
            )
            gain = r0 / error_var
            gains.append(gain)
            r0, r1, r2, r3 = (
                r - gain * p for r, p in zip((r0, r1, r2, r3), prior[:4], strict=True)
            )
        return tuple(gains)

    lag_flow = later(p01 + p02, p11 + p12, p12 + p22, p13 + p23)
    flow_var = p11 + 2.0 * p12 + p22 - error_var * sum(g * g for g in lag_flow)
    return SteadyGains(
        filter=(k0, k1, k2, k3),
        lag_flow=lag_flow,
        lag_weight=later(p00, p01, p02, p03),
        flow_error_gps=math.sqrt(max(flow_var, 0.0)),
    )


class LagFilter:
    """Estimates weight and flow ``LAG_S`` before the newest reading."""

    __slots__ = (
        "_gains",
        "_innovations",
        "_missing_ticks",
        "_noise_from",
        "_noise_to",
        "_past",
        "_period_from_s",
        "_period_ticks",
        "_period_to_s",
        "_steps",
        "_ticks",
        "_x",
    )

    def __init__(self, ticks: int, level_g: Grams) -> None:
        self._period_from_s = self._period_to_s = 0.0
        self._noise_from = self._noise_to = 0.0
        self._period_ticks = 1
        self._missing_ticks = 0.0
        self._steps = steps_of(MODEL)
        self._gains: SteadyGains | None = None
        self._innovations: deque[float] = deque()
        self._past: deque[tuple[int, Grams, GramsPerSecond]] = deque()
        self.restart(ticks, level_g)

    def restart(self, ticks: int, level_g: Grams, flow_gps: GramsPerSecond = 0.0) -> None:
        """Start again from this weight and flow, after a jump of the level or a gap."""
        self._ticks = ticks
        self._x: Mean = (level_g, flow_gps, 0.0, 0.0)
        self._innovations.clear()
        self._past.clear()

    def update(
        self, ticks: int, grams: Grams, good: float, period_s: Seconds, noise_var: float
    ) -> None:
        """Take a reading of the unbroken weight; ``good`` is the probability that it is no touch,
        ``noise_var`` its noise variance (g²)."""
        gains = self._gains
        if (
            gains is None
            or not self._noise_from < noise_var < self._noise_to
            or not self._period_from_s < period_s < self._period_to_s
        ):
            gains = self._tune(period_s, noise_var)
        while ticks - self._ticks > self._missing_ticks:
            # A reading is missing: pass over its moment, so that the lag stays what it is.
            self._step(self._ticks + self._period_ticks, None, 0.0, gains.filter)
        self._step(ticks, grams, good, gains.filter)

    def _step(self, ticks: int, grams: Grams | None, good: float, k: Mean) -> None:
        """On to this moment, and take in its reading if there is one."""
        s = self._steps[ticks - self._ticks]
        self._ticks = ticks
        w, q, m, d = self._x
        w += s.f01 * q + s.f02 * m + s.f03 * d
        m, d = s.f22 * m + s.f23 * d, s.f32 * m + s.f33 * d
        error_g = 0.0 if grams is None else good * (grams - w)
        k0, k1, k2, k3 = k
        w, q, m, d = w + k0 * error_g, q + k1 * error_g, m + k2 * error_g, d + k3 * error_g
        self._x = (w, q, m, d)
        self._innovations.append(error_g)
        self._past.append((ticks, w, q + m))

    @property
    def about_ticks(self) -> int | None:
        """The moment at the lag, in milliseconds; None if too few readings have come."""
        gains = self._gains
        if gains is None or len(self._past) <= len(gains.lag_flow):
            return None
        return self._past[0][0]

    def settled(self) -> tuple[Grams, GramsPerSecond, GramsPerSecond]:
        """Return weight, flow and the standard error of the flow at ``about_ticks``, which must not
        be None."""
        gains = self._gains
        if gains is None:
            raise ValueError("nothing has settled yet")
        _, weight_g, flow_gps = self._past[0]
        innovations = self._innovations
        return (
            weight_g + sum(map(mul, gains.lag_weight, innovations)),
            flow_gps + sum(map(mul, gains.lag_flow, innovations)),
            gains.flow_error_gps,
        )

    def _tune(self, period_s: Seconds, noise_var: float) -> SteadyGains:
        """Look up the gains of this rate and noise, and how far they serve."""
        lag = max(1, round(LAG_S / period_s))
        if self._innovations.maxlen != lag:
            self._innovations = deque(maxlen=lag)
            self._past = deque(maxlen=lag + 1)
        octaves = round(math.log2(noise_var) * NOISE_STEPS_PER_OCTAVE) / NOISE_STEPS_PER_OCTAVE
        step = 2.0 ** (1.0 / NOISE_STEPS_PER_OCTAVE)
        self._noise_from, self._noise_to = 2.0**octaves / step, 2.0**octaves * step
        self._period_from_s = period_s * (1.0 - RATE_OFF)
        self._period_to_s = period_s * (1.0 + RATE_OFF)
        period_ticks = max(round(2.0 * period_s * TICKS_PER_S) / 2.0, 0.5)
        self._period_ticks = max(round(period_ticks), 1)
        self._missing_ticks = MISSING_PERIODS * max(period_ticks, 1.0)
        self._gains = steady_gains(MODEL, period_ticks, 2.0**octaves, lag)
        return self._gains


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
