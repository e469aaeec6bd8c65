"""How much the flow wanders within a pour, with the scale's noise taken out.

``E = √(Var_t(q_s) + mean_t(Var[q | data])) / mean(q_s)``: the spread of the smoothed flow falls
short of the true one by just the variance that smoothing leaves, so that is added back.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.smoother import smooth_flow
from pourcoach.estimation.two_modes import FRESH_FLOW_GPS, FRESH_FLOW_VAR
from pourcoach.estimation.wobble_model import WobbleModel

_LIMITS = FlagLimits()


@dataclass(frozen=True, slots=True)
class Evenness:
    """Coefficient of variation of flow, and its standard error."""

    flow_cv: float
    error: float


def evenness(
    times_s: Sequence[Seconds],
    grams: Sequence[Grams],
    start_s: Seconds,
    end_s: Seconds,
    noise_var: float,
) -> Evenness | None:
    """Of the pour from ``start_s`` to ``end_s``, its ramps left out; None if it is too short."""
    from_s, to_s = start_s + _LIMITS.ramp_up_s, end_s - _LIMITS.ramp_down_s
    if end_s - start_s < _LIMITS.uneven_from_s:
        return None
    inside = [(t, g) for t, g in zip(times_s, grams, strict=True) if start_s <= t <= end_s]
    if len(inside) < 8:
        return None
    times = [t for t, _ in inside]
    model = WobbleModel()
    omega = 2.0 * math.pi * model.frequency_hz
    fresh = (
        (inside[0][1], FRESH_FLOW_GPS, 0.0, 0.0),
        (
            *(noise_var, 0.0, 0.0, 0.0, FRESH_FLOW_VAR, 0.0, 0.0),
            *(model.variance, 0.0, model.variance * omega * omega),
        ),
    )
    flows = smooth_flow(times, [g for _, g in inside], noise_var, model, fresh)
    judged = [flow for t, flow in zip(times, flows, strict=True) if from_s <= t <= to_s]
    if len(judged) < 4:
        return None
    n = len(judged)
    mean = sum(q for q, _ in judged) / n
    if mean <= 0.0:
        return None
    spread = sum((q - mean) ** 2 for q, _ in judged) / n
    unseen = sum(v for _, v in judged) / n
    flow_cv = math.sqrt(spread + unseen) / mean
    return Evenness(flow_cv, 0.5 * unseen / (mean * mean * flow_cv))
