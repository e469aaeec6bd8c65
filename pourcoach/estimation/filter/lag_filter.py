"""The flow a moment ago, much surer than the flow now: a fixed-lag smoother with steady gains.

At a steady rate the gains of the wobble filter settle within seconds, and so do those by which
each later reading corrects an earlier state (Moore 1973, "Discrete-time fixed-lag smoothing
algorithms", Automatica 9:163):

    x(s | t) = x(s | s) + Σ P Lᵢᵀ Hᵀ ν(s + i) / S,      L = F (I - K H)

They are worked out once for a rate and a noise, and looked up after that. A reading after some that
are missing moves the state by other gains: from there on the covariances are followed, until they
are near enough to the steady ones again.
"""

import math
from collections import deque
from itertools import pairwise
from operator import mul
from typing import NamedTuple, TypeAlias

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.filter.steady_gains import SteadyGains, steady_gains
from pourcoach.estimation.filter.wobble_filter import (
    Covariance,
    Mean,
    correct,
    correct_earlier,
    predict,
)
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


class Unsteady(NamedTuple):
    """What a moment within or after a hole changes."""

    posterior: Covariance
    """Of the state once its reading is known, if it has one."""
    prior: Covariance
    error_var: float
    """Of its reading less what was expected; infinite where there is none."""


_Moment: TypeAlias = tuple[int, Grams, GramsPerSecond, Unsteady | None]
"""Its ticks, weight and flow, and what is its own in it."""


class LagFilter:
    """Estimates weight and flow ``LAG_S`` before the newest reading."""

    __slots__ = (
        "_covariance",
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
        "_unsteady_ticks",
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
        self._past: deque[_Moment] = deque()
        self._covariance: Covariance | None = None
        """Of the state, while it is not the steady one."""
        self._unsteady_ticks = ticks
        """The last moment at which it was not, and the gains far from steady."""
        self.restart(ticks, level_g)

    def restart(self, ticks: int, level_g: Grams, flow_gps: GramsPerSecond = 0.0) -> None:
        """Start again from this weight and flow, after a jump of the level or a gap."""
        self._ticks = ticks
        self._x: Mean = (level_g, flow_gps, 0.0, 0.0)
        self._covariance = None
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
        if self._covariance is None and ticks - self._ticks <= self._missing_ticks:
            self._step(ticks, grams, good, gains.filter)
            return
        unsteady_ticks = self._unsteady_ticks
        while ticks - self._ticks > self._missing_ticks:
            # A reading is missing: pass over its moment, so that the lag stays what it is.
            self._unsteady_step(gains, self._ticks + self._period_ticks)
        prior = self._unsteady_step(gains, ticks, grams, good)
        if gains.nearly(prior):
            self._covariance, self._unsteady_ticks = None, unsteady_ticks

    def _step(self, ticks: int, grams: Grams, good: float, k: Mean) -> None:
        """On to this moment, and take in its reading."""
        s = self._steps[ticks - self._ticks]
        self._ticks = ticks
        w, q, m, d = self._x
        w += s.f01 * q + s.f02 * m + s.f03 * d
        m, d = s.f22 * m + s.f23 * d, s.f32 * m + s.f33 * d
        error_g = good * (grams - w)
        k0, k1, k2, k3 = k
        w, q, m, d = w + k0 * error_g, q + k1 * error_g, m + k2 * error_g, d + k3 * error_g
        self._x = (w, q, m, d)
        self._innovations.append(error_g)
        self._past.append((ticks, w, q + m, None))

    def _unsteady_step(
        self, gains: SteadyGains, ticks: int, grams: Grams | None = None, good: float = 0.0
    ) -> Covariance:
        """The same with covariances, where there may be no reading; returns that before it."""
        s = self._steps[ticks - self._ticks]
        self._ticks = self._unsteady_ticks = ticks
        x, prior = predict(self._x, self._covariance or gains.posterior, s)
        posterior, error_g, error_var = prior, 0.0, math.inf
        if grams is not None and good > 0.0:
            error_g, error_var = grams - x[0], prior[0] + gains.noise_var
            x, posterior = correct(x, prior, error_g, error_var, good)
            error_var /= good
        self._x, self._covariance = x, posterior
        self._innovations.append(error_g)
        unsteady = Unsteady(posterior, prior, error_var)
        self._past.append((ticks, x[0], x[1] + x[2], unsteady))
        return prior

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
        about_ticks, weight_g, flow_gps, _ = self._past[0]
        if about_ticks <= self._unsteady_ticks:
            return self._settled_unsteadily(gains)
        innovations = self._innovations
        return (
            weight_g + sum(map(mul, gains.lag_weight, innovations)),
            flow_gps + sum(map(mul, gains.lag_flow, innovations)),
            gains.flow_error_gps,
        )

    def _settled_unsteadily(
        self, gains: SteadyGains
    ) -> tuple[Grams, GramsPerSecond, GramsPerSecond]:
        """The same by the gains of each moment since: those of figures of the state at the lag,
        whose covariance with the state is followed on."""
        steady = Unsteady(gains.posterior, gains.prior, gains.prior[0] + gains.noise_var)
        _, weight_g, flow_gps, unsteady = self._past[0]
        p00, p01, p02, p03, p11, p12, p13, p22, p23, _ = (unsteady or steady).posterior
        figures = []
        for figure, variance, r in (
            (weight_g, p00, (p00, p01, p02, p03)),
            (flow_gps, p11 + 2.0 * p12 + p22, (p01 + p02, p11 + p12, p12 + p22, p13 + p23)),
        ):
            moments = zip(pairwise(self._past), self._innovations, strict=True)
            for ((before, *_), (ticks, _, _, unsteady)), error_g in moments:
                _, prior, error_var = unsteady or steady
                gain, r = correct_earlier(r, self._steps[ticks - before], prior, error_var)
                figure += gain * error_g
                if gain:  # Of a missing reading it is 0, and ``error_var`` is infinite.
                    variance -= gain * gain * error_var
            figures.append((figure, variance))
        (weight_g, _), (flow_gps, flow_var) = figures
        # Never surer than at the steady rate, were the gains retuned in between.
        return weight_g, flow_gps, max(math.sqrt(max(flow_var, 0.0)), gains.flow_error_gps)

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
