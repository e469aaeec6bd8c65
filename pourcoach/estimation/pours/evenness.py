"""How much the flow wanders within a pour, with the scale's noise taken out.

``E = √(Var_t(q_s) + mean_t(Var[q | data])) / mean(q_s)``: the spread of the smoothed flow falls
short of the true one by just the variance that smoothing leaves, so that is added back. It holds
for the model that the pour itself is like; so the flow is smoothed under a grid of wobbles, each
weighted by how likely it makes this pour's readings (Bayesian model averaging: Hoeting et al.
1999, Statistical Science 14:382).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pourcoach.domain.limits import FULL_SHARE, LONGEST_RAMP_S, FlagLimits
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.filter.smoother import pass_through, smooth_flow
from pourcoach.estimation.filter.two_modes import TOUCH_RANGE_G, TOUCH_SHARE
from pourcoach.estimation.filter.wobble_model import WobbleModel
from pourcoach.estimation.pours.record import taken_together

# Wobbles thought possible, all equally likely, of a flow whose mean is 1: frequencies over the
# range of hands, sizes from a hand steadier than any to one that spills (assumed; spacing and
# damping chosen on simulated hands of two kinds).
GRID = tuple(
    WobbleModel(frequency_hz, 0.35, share**2, 0.1 * share**2)
    for frequency_hz in (0.3, 0.65, 1.4)
    for share in (0.03, 0.07, 0.13, 0.22, 0.4)
)
# Wobbles less likely than the best by more than this factor are left out.
LEAST_WEIGHT = 0.02
# A wobble is told as well from so many readings a second as from more; from fewer, the mean over a
# tenth of a second would smooth the quick part of it away.
ENOUGH_PER_S = 16.0
# The ramps end within this time of either end of the pour (assumed), and flow is steady between.
RAMP_S = 0.5
# The flow is told well enough to find the ends of the ramps by over so long a time.
FLOW_OVER_S = 0.4
# Errors of the smoothed flow hang together for this time times the root of their share in all the
# spread, for the surer the flow, the shorter it was smoothed (fitted to simulated pours).
ERRORS_LAST_S = 0.8
LEAST_READINGS = 8
# Where so many of the usual steps of time lie between two readings, some are missing: a touch was
# left out, or they were lost. What happened in a longer gap nobody knows.
MISSING_STEPS = 1.6
LONGEST_GAP_S = 2.0
_ANY_FLOW_VAR = 1.0
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
    """Of the pour from ``start_s`` to ``end_s``, its ramps left out; None if it is too short.

    Times must rise; ``noise_var`` is that of one reading, g².
    """
    if end_s - start_s < _LIMITS.uneven_from_s:
        return None
    steady = [
        (t, g)
        for t, g in zip(times_s, grams, strict=True)
        if start_s + RAMP_S <= t <= end_s - RAMP_S
    ]
    if len(steady) < LEAST_READINGS:
        return None
    times, weights, together = taken_together(
        [t for t, _ in steady], [g for _, g in steady], ENOUGH_PER_S
    )
    mean_flow = (weights[-1] - weights[0]) / (times[-1] - times[0])
    if mean_flow <= 0.0:
        return None
    # In units of the mean flow, evenness is the same for a thin jet and a thick one.
    times, readings = _with_gaps(times, [(g - weights[0]) / mean_flow for g in weights])
    noise_var /= together * mean_flow * mean_flow
    touch_density = TOUCH_SHARE / TOUCH_RANGE_G * mean_flow
    passed = []
    for model in GRID:
        omega = 2.0 * math.pi * model.frequency_hz
        start = (
            (0.0, 1.0, 0.0, 0.0),
            (
                *(noise_var, 0.0, 0.0, 0.0, _ANY_FLOW_VAR, 0.0, 0.0),
                *(model.variance, 0.0, model.variance * omega * omega),
            ),
        )
        passed.append(pass_through(times, readings, noise_var, model, start, touch_density))
    best = max(likelihood for _, likelihood in passed)
    from_s, to_s = _between_ramps(times, readings, start_s, end_s)
    total = cv = cv_squared = variance = 0.0
    for passages, likelihood in passed:
        weight = math.exp(likelihood - best)
        if weight < LEAST_WEIGHT:
            continue
        flows = [
            flow
            for t, flow in zip(times, smooth_flow(passages), strict=True)
            if from_s <= t <= to_s
        ]
        told = _of(flows, to_s - from_s)
        if told is None:
            return None
        total += weight
        cv += weight * told.flow_cv
        cv_squared += weight * told.flow_cv**2
        variance += weight * told.error**2
    cv /= total
    return Evenness(cv, math.sqrt(variance / total + max(cv_squared / total - cv * cv, 0.0)))


def _between_ramps(
    times_s: Sequence[Seconds],
    readings: Sequence[float | None],
    start_s: Seconds,
    end_s: Seconds,
) -> tuple[Seconds, Seconds]:
    """Where the flow, whose mean is 1, has come up from one end and not yet left for the other."""
    seen = [(t, w) for t, w in zip(times_s, readings, strict=True) if w is not None]
    from_s, to_s = start_s + _LIMITS.ramp_up_s, end_s - _LIMITS.ramp_down_s
    full = [
        (t, after_s)
        for (t, w), (after_s, after_w) in zip(seen, _later(seen), strict=False)
        if after_w - w >= FULL_SHARE * (after_s - t)
    ]
    if not full:
        return from_s, to_s
    return (
        max(from_s, min(full[0][0], start_s + LONGEST_RAMP_S)),
        min(to_s, max(full[-1][1], end_s - LONGEST_RAMP_S)),
    )


def _later(seen: Sequence[tuple[Seconds, float]]) -> Iterator[tuple[Seconds, float]]:
    """For each reading the first that comes ``FLOW_OVER_S`` after it, as long as there is one."""
    place = 0
    for t, _ in seen:
        while place < len(seen) and seen[place][0] < t + FLOW_OVER_S:
            place += 1
        if place == len(seen):
            return
        yield seen[place]


def _with_gaps(
    times_s: Sequence[Seconds], weights: Sequence[float]
) -> tuple[list[Seconds], list[float | None]]:
    """With a moment without a reading for each that is missing: there flow is less surely known,
    and goes on all the same."""
    steps_s = sorted(later - t for t, later in pairwise(times_s))
    usual_s = max(steps_s[len(steps_s) // 2], 0.5 * (times_s[-1] - times_s[0]) / len(steps_s))
    times: list[Seconds] = [times_s[0]]
    readings: list[float | None] = [weights[0]]
    for t, w in zip(times_s[1:], weights[1:], strict=True):
        gap_s = t - times[-1]
        if MISSING_STEPS * usual_s < gap_s < LONGEST_GAP_S:
            from_s, count = times[-1], round(gap_s / usual_s)
            times += [from_s + gap_s * i / count for i in range(1, count)]
            readings += [None] * (count - 1)
        times.append(t)
        readings.append(w)
    return times, readings


def _of(flows: Sequence[tuple[float, float]], lasts_s: Seconds) -> Evenness | None:
    """Under one wobble: flows with their variances."""
    n = len(flows)
    mean = sum(q for q, _ in flows) / n if n else 0.0
    if n < LEAST_READINGS // 2 or mean <= 0.0:
        return None
    spread = sum((q - mean) ** 2 for q, _ in flows) / n
    unseen = sum(v for _, v in flows) / n
    flow_cv = math.sqrt(spread + unseen) / mean
    # Variance of a mean of squares whose errors hang together.
    errors_last_s = ERRORS_LAST_S * math.sqrt(unseen / (spread + unseen))
    independent = max(lasts_s / max(errors_last_s, 1e-3), 1.0)
    variance = (4.0 * spread * unseen + 2.0 * unseen * unseen) / independent
    return Evenness(flow_cv, math.sqrt(variance) / (2.0 * mean * mean * flow_cv))
