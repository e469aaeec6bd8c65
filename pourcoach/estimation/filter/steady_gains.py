"""Gains of the wobble filter, and of correcting an earlier state, at a steady rate and noise."""

import math
from dataclasses import dataclass
from functools import lru_cache

from pourcoach.domain.units import GramsPerSecond
from pourcoach.estimation.filter.wobble_filter import (
    Covariance,
    Mean,
    correct,
    correct_earlier,
    predict,
)
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S, WobbleModel, steps_of

# After a hole the steady gains serve again once a reading's variance and the gain of the flow are
# both off by no more than this share: a single reading that is missing at 80 a second leaves them
# there, and costs nothing.
STEADY_WITHIN = 0.25
_SETTLES_S = 6.0
_NONE: Mean = (0.0, 0.0, 0.0, 0.0)


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
    posterior: Covariance
    """Of the state once its reading is known."""
    prior: Covariance
    """Of the state before that."""
    noise_var: float
    """g²"""

    def nearly(self, prior: Covariance) -> bool:
        """Whether a state with this covariance before its reading is moved by much the same."""
        error_var, steady_var = prior[0] + self.noise_var, self.prior[0] + self.noise_var
        gain, steady = (prior[1] + prior[2]) / error_var, self.filter[1] + self.filter[2]
        return (
            abs(error_var - steady_var) < STEADY_WITHIN * steady_var
            and abs(gain - steady) < STEADY_WITHIN * steady
        )


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

    def later(r: Mean) -> tuple[float, ...]:
        """Gains of a figure of the state whose covariance with the state is ``r``."""
        gains = []
        for _ in range(lag):
            gain, r = correct_earlier(r, step, prior, error_var)
            gains.append(gain)
        return tuple(gains)

    lag_flow = later((p01 + p02, p11 + p12, p12 + p22, p13 + p23))
    flow_var = p11 + 2.0 * p12 + p22 - error_var * sum(g * g for g in lag_flow)
    return SteadyGains(
        filter=(k0, k1, k2, k3),
        lag_flow=lag_flow,
        lag_weight=later((p00, p01, p02, p03)),
        flow_error_gps=math.sqrt(max(flow_var, 0.0)),
        posterior=posterior,
        prior=prior,
        noise_var=noise_var,
    )
