"""How much the flow wanders within a pour, with the scale's noise and the water's drumming out.

The flow is a Fourier series whose waves are drawn from a hand's spectrum; the readings are its
weight, its push, and noise: that of the scale at rest, and that of water that drums on the bed,
which grows with the flow and fades within some hundredths of a second. How strong hand and
drumming are is not known, so the readings are explained under a grid of both, and every point
counts by its marginal likelihood (MacKay 1992, "Bayesian interpolation", Neural Computation 4:415).
``E² = Var_t(flow) / mean(flow)²`` is a quadratic form of the series, whose mean and variance under
each point are exact.
"""

import math
from collections.abc import Generator
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np

from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Unjudged
from pourcoach.domain.units import GramsPerSecond, Seconds
from pourcoach.estimation.noise.whitening import Array, Relaxation
from pourcoach.estimation.pours.flow_evidence import FlowEvidence, root_mean, weigh
from pourcoach.estimation.pours.flow_series import MEAN_FLOW, FlowSeries
from pourcoach.estimation.pours.outliers import clean
from pourcoach.estimation.pours.pour_readings import PourReadings
from pourcoach.estimation.pours.steady_part import (
    LEAST_READINGS,
    between_slow_ramps,
    mean_flow,
    taken_together,
    unread_s,
)

# Hands thought possible, of a flow whose mean is 1: spectral density a hertz of the slow part of
# the wander and of the quick one, as roots (from a hand steadier than any to one that spills). The
# quick part is taken for half the slow one, give or take a factor of 3 (assumed).
SLOW = np.geomspace(0.015, 0.42, 8)
QUICK = np.geomspace(0.008, 0.33, 7)
QUICK_SHARE, QUICK_FACTOR = 0.5, 3.0
# Drumming thought possible: none, or its deviation in seconds of flow and how long it lasts.
# 0.024 s and 25 ms were measured under robots' streams into cups, an upper guess for a bed: half of
# it is taken for usual, give or take a factor of 2.5.
DRUMMING_S = (0.004, 0.009, 0.016, 0.024, 0.034, 0.046, 0.06, 0.08)
FADES_S = (0.015, 0.03, 0.06)
USUAL_DRUMMING_S, DRUMMING_FACTOR = 0.012, 2.5
# A point this many nats below the best on the coarse half of the grid is not looked at closer;
# on the whole grid, it adds nothing.
NEAR_NATS = 12.0
COUNTS_NATS = 6.5
# Longer pours are cut: the work grows as the square of a stretch. From here on, too, a linear
# algebra library begins to share out its products among threads, which costs more than it saves
# (OpenBLAS: 2**18 multiplications; the 62 coefficients of 10 s need 62³).
LONGEST_STRETCH_S = 10.0
# The ramps end within this time of either end of the pour (assumed), and flow is steady between.
RAMP_S = 0.5
# A shorter part between the ramps tells nothing of the pour (common practice).
LEAST_JUDGED_S = 1.5
# Above this share of the pour without a good reading nothing is said of the rest (assumed).
MOST_HIDDEN = 0.25
# An error above this leaves no figure: 95 % of it would span from even to uneven.
MOST_ERROR = 0.07
# A flow more even than this cannot be told from an even one.
LEAST_SQUARE = 1e-8
# Looks at a stretch with the coarse hands, and points of the grid whose moments are worked out, in
# one slice: some milliseconds' work.
LOOKS_AT_A_TIME = 6
MOMENTS_AT_A_TIME = 12
STRETCHES_AT_A_TIME = 3
_LIMITS = FlagLimits()


def _log_normal(value: float, usual: float, factor: float) -> float:
    """Logarithm of the density of the value's logarithm, but for a constant."""
    return -0.5 * (math.log(value / usual) / math.log(factor)) ** 2


# Every kind of drumming, and every kind of hand; the coarse half of the hands.
_DRUMMINGS = ((0.0, 0.03), *product(DRUMMING_S, FADES_S))
_HANDS = tuple(product(SLOW.tolist(), QUICK.tolist()))
_LOG_PRIOR = np.add.outer(
    [_log_normal(max(j, DRUMMING_S[0]), USUAL_DRUMMING_S, DRUMMING_FACTOR) for j, _ in _DRUMMINGS],
    [_log_normal(quick / slow, QUICK_SHARE, QUICK_FACTOR) for slow, quick in _HANDS],
)
_COARSE = [i for i in range(len(_HANDS)) if i // len(QUICK) % 2 == 0 and i % len(QUICK) % 2 == 0]


@dataclass(frozen=True, slots=True)
class Evenness:
    """Coefficient of variation of flow with its standard error, or why there is none."""

    flow_cv: float | None = None
    error: float | None = None
    why: Unjudged | None = None
    drumming_s: Seconds | None = None
    """Deviation of the drumming, in seconds of flow; None where it was not looked for."""


def evenness(readings: PourReadings, start_s: Seconds, end_s: Seconds) -> Evenness:
    """Of the pour from ``start_s`` to ``end_s`` at the spout, its ramps left out."""
    slices = evenness_in_slices(readings, start_s, end_s)
    while True:
        try:
            next(slices)
        except StopIteration as done:
            found: Evenness = done.value
            return found


def evenness_in_slices(
    readings: PourReadings, start_s: Seconds, end_s: Seconds
) -> Generator[None, None, Evenness]:
    """The same, some milliseconds' work between one yield and the next."""
    if end_s - start_s < _LIMITS.uneven_from_s:
        return Evenness(why=Unjudged.TOO_SHORT)
    from_s, to_s = start_s + RAMP_S, end_s - RAMP_S
    steady = readings.between(from_s + readings.fall_s, to_s + readings.fall_s)
    flow_gps = mean_flow(steady)
    if flow_gps is None:
        return Evenness(why=Unjudged.HIDDEN)
    full_from_s, full_to_s = between_slow_ramps(steady, flow_gps)
    from_s = max(from_s, full_from_s - readings.fall_s)
    to_s = min(to_s, full_to_s - readings.fall_s)
    judged_s = max(from_s, start_s + _LIMITS.ramp_up_s), min(to_s, end_s - _LIMITS.ramp_down_s)
    if judged_s[1] - judged_s[0] < LEAST_JUDGED_S:
        return Evenness(why=Unjudged.TOO_SHORT)
    count = max(math.ceil((to_s - from_s) / LONGEST_STRETCH_S), 1)
    stretches: list[FlowEvidence] = []
    hidden_s = 0.0
    for begin_s, finish_s in pairwise(np.linspace(from_s, to_s, count + 1).tolist()):
        series = FlowSeries(begin_s, finish_s, readings.fall_s)
        part = steady.between(begin_s + readings.fall_s, finish_s + readings.fall_s)
        if len(part.times_s) >= LEAST_READINGS:
            means, white = taken_together(part, flow_gps)
            rows = series.rows(means)
            yield
            good = yield from clean(means, white + _fading_var(part, flow_gps), rows, series)
            means, rows, white = means.kept(good), rows[good], white[good]
        else:
            means = None
        if means is None or len(means.times_s) < LEAST_READINGS:
            hidden_s += finish_s - begin_s
            continue
        hidden_s += unread_s(means, begin_s + readings.fall_s, finish_s + readings.fall_s)
        stretches.append((yield from weigh(series, means, rows, white, _fading(part, flow_gps))))
    if not stretches or hidden_s > MOST_HIDDEN * (to_s - from_s):
        return Evenness(why=Unjudged.HIDDEN)
    found = yield from _weighed_up(stretches, judged_s, readings.fall_error_s)
    if found.error is None or found.error > MOST_ERROR:
        return Evenness(why=Unjudged.NOISY, drumming_s=found.drumming_s)
    return found


def _weighed_up(
    stretches: list[FlowEvidence], judged_s: tuple[Seconds, Seconds], fall_error_s: Seconds
) -> Generator[None, None, Evenness]:
    """The mean over the grid, each point by its likelihood."""
    slow, quick = np.array(_HANDS).T
    precisions = [one.precisions(slow, quick) for one in stretches]
    likelihoods = np.full((len(_DRUMMINGS), len(_HANDS)), -np.inf)
    looks = 0
    for drumming in range(len(_DRUMMINGS)):
        likelihoods[drumming, _COARSE] = _LOG_PRIOR[drumming, _COARSE]
        for one, before in zip(stretches, precisions, strict=True):
            likelihoods[drumming, _COARSE] += one.log_likelihoods(drumming, before[_COARSE])
            looks += 1
            if looks % LOOKS_AT_A_TIME == 0:
                yield
    best = likelihoods.max(axis=1)
    for drumming in np.flatnonzero(best > best.max() - NEAR_NATS).tolist():
        likelihoods[drumming] = _LOG_PRIOR[drumming]
        for one, before in zip(stretches, precisions, strict=True):
            likelihoods[drumming] += one.log_likelihoods(drumming, before)
            yield
    least = likelihoods.max() - COUNTS_NATS
    total = cv_sum = square_sum = drumming_sum = shift_sum = 0.0
    for drumming in range(len(_DRUMMINGS)):
        hands = np.flatnonzero(likelihoods[drumming] > least)
        for first in range(0, len(hands), MOMENTS_AT_A_TIME):
            some = hands[first : first + MOMENTS_AT_A_TIME]
            weights = np.exp(likelihoods[drumming, some] - least - COUNTS_NATS)
            figures = yield from _figures(
                stretches, drumming, [one[some] for one in precisions], judged_s, fall_error_s
            )
            for weight, (cv, error, shift) in zip(weights.tolist(), figures, strict=True):
                total += weight
                cv_sum += weight * cv
                square_sum += weight * (cv * cv + error * error)
                shift_sum += weight * shift
                drumming_sum += weight * _DRUMMINGS[drumming][0]
    cv = cv_sum / total
    spread = math.sqrt(max(square_sum / total - cv * cv, 0.0))
    error = math.hypot(spread, shift_sum / total)
    return Evenness(cv, error, drumming_s=drumming_sum / total)


def _figures(
    stretches: list[FlowEvidence],
    drumming: int,
    precisions: list[Array],
    judged_s: tuple[Seconds, Seconds],
    fall_error_s: Seconds,
) -> Generator[None, None, list[tuple[float, float, float]]]:
    """For each of these hands the evenness, its error, and how far a longer fall would move it."""
    parts = []
    for one, before in zip(stretches, precisions, strict=True):
        row, square, lasts_s = one.series.judged(*judged_s)
        if lasts_s > 0.0:
            parts.append((one.series, *one.moments(drumming, before), row, square, lasts_s))
            if len(parts) % STRETCHES_AT_A_TIME == 0:
                yield
    whole_s = sum(part[-1] for part in parts)
    means, squares, moved, variances = np.zeros((4, len(precisions[0])))
    for _, fit, _, row, _, lasts_s in parts:
        means += lasts_s / whole_s * (fit @ row)
    for place, (series, fit, covariance, row, form, lasts_s) in enumerate(parts):
        if place % STRETCHES_AT_A_TIME == 0:
            yield
        share = lasts_s / whole_s
        off = fit.copy()
        off[:, MEAN_FLOW] -= means
        pull = off @ form
        spread = form @ covariance
        turned = np.trace(spread, axis1=1, axis2=2)
        squares += share * (np.sum(pull * off, axis=1) + turned)
        squares -= share * share * np.einsum("p,hpq,q->h", row, covariance, row)
        variances += (
            share
            * share
            * (
                4.0 * np.einsum("hp,hpq,hq->h", pull, covariance, pull)
                + 2.0 * np.einsum("hpq,hqp->h", spread, spread)
            )
        )
        seen = series.seen_with(series.fall_s + fall_error_s)
        less = form * np.outer(seen, seen)
        moved += share * (
            np.einsum("hp,pq,hq->h", off, less - form, off)
            + np.einsum("pq,hqp->h", less - form, covariance)
        )
    found = []
    for mean, seen_square, more, variance in zip(
        means.tolist(), squares.tolist(), moved.tolist(), variances.tolist(), strict=True
    ):
        whole = max(seen_square, LEAST_SQUARE)
        cv, error = root_mean(whole / mean**2, variance / mean**4)
        longer = math.sqrt(max(whole + more, 0.0)) / mean
        found.append((cv, error, longer - math.sqrt(whole) / mean))
    return found


def _fading_var(part: PourReadings, flow_gps: GramsPerSecond) -> float:
    return part.noise.fading_var / flow_gps**2


def _fading(part: PourReadings, flow_gps: GramsPerSecond) -> tuple[Relaxation, ...]:
    """Noise that fades, under each kind of drumming: in units of the mean flow."""
    strength, fades_s = np.array(_DRUMMINGS).T
    drumming = Relaxation(strength**2, fades_s)
    if part.noise.fading_var <= 0.0:
        return (drumming,)
    step_s = float(np.median(np.diff(part.times_s)))
    rest = Relaxation(
        np.full(len(strength), _fading_var(part, flow_gps)),
        np.full(len(strength), -step_s / math.log(part.noise.correlation)),
    )
    return (drumming, rest)
