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
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Unjudged
from pourcoach.domain.slices import Slices, result_of
from pourcoach.domain.units import GramsPerSecond, Seconds
from pourcoach.estimation.noise.whitening import Array, Relaxation, Whitening
from pourcoach.estimation.pours.drumming import coarse
from pourcoach.estimation.pours.flow_evidence import FlowEvidence, SliceBudget, Stretch, root_mean
from pourcoach.estimation.pours.flow_series import MEAN_FLOW, FlowSeries
from pourcoach.estimation.pours.hands import COARSE, good_hands, near_hands
from pourcoach.estimation.pours.leans import without_leans
from pourcoach.estimation.pours.outliers import clean
from pourcoach.estimation.pours.posterior import Posterior, weighed_stretches
from pourcoach.estimation.pours.pour_readings import PourReadings
from pourcoach.estimation.pours.scatter import scatter
from pourcoach.estimation.pours.steady_part import (
    LEAST_READINGS,
    before_slow_ramp,
    grouped_means,
    mean_flow,
    unread_s,
)

# Drumming this many nats below the best is not examined further; a point of the whole grid this
# many below adds nothing.
NEAR_NATS = 5.5
COUNTS_NATS = 4.0
# Longer pours are cut: the work grows as the square of a stretch. From here on, too, a linear
# algebra library begins to share out its products among threads, which costs more than it saves
# (OpenBLAS: 2**18 multiplications; the 62 coefficients of 10 s need 62³).
LONGEST_STRETCH_S = 10.0
# The ramps end within this time of either end of the pour (assumed), and flow is steady between.
RAMP_S = 0.5
# A shorter part between the ramps says nothing about the pour (common practice).
LEAST_JUDGED_S = 1.5
# From step to step of a slower scale a hand wanders unseen: two readings a wave (Shannon 1949,
# Proceedings of the IRE 37:10) of 1.2 Hz, above which hands wander little.
LONGEST_STEP_S = 0.5 / 1.2
# Above this share of the pour without a good reading nothing is said of the rest (assumed; where a
# fifth of a slow scale's readings is lost in packets, simulated hands are judged rightly up to it).
MOST_HIDDEN = 0.4
# An error above this leaves no figure: 95 % of it would span from even to uneven. It grows with the
# figure, so that beyond a share of it only what came out too low would be left.
MOST_ERROR, MOST_ERROR_SHARE = 0.05, 0.25
# Where the figure depends so much on the kind of drumming, as a standard deviation over all likely
# ones, it shows what was expected of the drumming and not what was read. Below that the error,
# which counts it, holds (simulated; from 0.015 on, more pours of slow scales and of drumming that
# lasts long were left out, and the others came out 0.002 more uneven on average).
MOST_BY_DRUMMING = 0.02
# What the readings leave open is filled with waves as strong as the hand's others; one that has
# none there is steadier by that. One standard deviation, as a share of it (fitted to simulated
# hands, of which some move in a single sine).
OPEN_SHARE = 0.9
# A flow more even than this cannot be distinguished from an even one.
LEAST_SQUARE = 1e-8
# Moments are worked out so many at a time, and take as long as so many matrices to factor.
MOMENTS_AT_A_TIME = 24
MOMENTS_TAKE = 4
_LIMITS = FlagLimits()


@dataclass(frozen=True, slots=True)
class Evenness:
    """Coefficient of variation of flow with its standard error, or why there is none."""

    flow_cv: float | None = None
    error: float | None = None
    why: Unjudged | None = None
    drumming_s: Seconds | None = None
    """Deviation of the drumming, in seconds of flow; None where it was not looked for."""
    by_drumming: float = 0.0
    """How much of the error is for not knowing the drumming."""

    @property
    def is_open(self) -> bool:
        """Whether the error leaves no figure."""
        most = max(MOST_ERROR, MOST_ERROR_SHARE * (self.flow_cv or 0.0))
        return self.error is None or self.error > most or self.by_drumming > MOST_BY_DRUMMING


def evenness(readings: PourReadings, start_s: Seconds, end_s: Seconds) -> Evenness:
    """Of the pour from ``start_s`` to ``end_s`` at the spout, its ramps left out."""
    return result_of(evenness_in_slices(readings, start_s, end_s))


def evenness_in_slices(
    readings: PourReadings, start_s: Seconds, end_s: Seconds
) -> Slices[Evenness]:
    """The same in slices."""
    if end_s - start_s < _LIMITS.uneven_from_s:
        return Evenness(why=Unjudged.TOO_SHORT)
    from_s, to_s = start_s + RAMP_S, end_s - RAMP_S
    steady = readings.between(from_s + readings.fall_s, to_s + readings.fall_s)
    flow_gps = mean_flow(steady)
    if flow_gps is None:
        return Evenness(why=Unjudged.HIDDEN)
    if float(np.median(np.diff(steady.times_s))) > LONGEST_STEP_S:
        return Evenness(why=Unjudged.NOISY)
    to_s = min(to_s, before_slow_ramp(steady, flow_gps) - readings.fall_s)
    judged_s = max(from_s, start_s + _LIMITS.ramp_up_s), min(to_s, end_s - _LIMITS.ramp_down_s)
    if judged_s[1] - judged_s[0] < LEAST_JUDGED_S:
        return Evenness(why=Unjudged.TOO_SHORT)
    count = max(math.ceil((to_s - from_s) / LONGEST_STRETCH_S), 1)
    stretches: list[Stretch] = []
    hidden_s = 0.0
    for begin_s, finish_s in pairwise(np.linspace(from_s, to_s, count + 1).tolist()):
        series = FlowSeries(begin_s, finish_s, readings.fall_s)
        part = steady.between(begin_s + readings.fall_s, finish_s + readings.fall_s)
        stretch = yield from _stretch(series, part, flow_gps)
        if stretch is None:
            hidden_s += finish_s - begin_s
        else:
            hidden_s += unread_s(
                stretch.means, begin_s + readings.fall_s, finish_s + readings.fall_s
            )
            stretches.append(stretch)
    if not stretches or hidden_s > MOST_HIDDEN * (to_s - from_s):
        return Evenness(why=Unjudged.HIDDEN)
    found = yield from _weighed_up(stretches, judged_s, readings.fall_error_s)
    if found.is_open:
        return Evenness(why=Unjudged.NOISY, drumming_s=found.drumming_s)
    yield
    leaned = without_leans(stretches, judged_s)
    if leaned is None or found.flow_cv is None or found.error is None:
        return found
    doubted = replace(found, error=math.hypot(found.error, leaned.error(found.flow_cv)))
    if leaned.as_likely and doubted.is_open:
        return Evenness(why=Unjudged.HIDDEN, drumming_s=found.drumming_s)
    return doubted


def _stretch(
    series: FlowSeries, part: PourReadings, flow_gps: GramsPerSecond
) -> Slices[Stretch | None]:
    """What can be read of it; None where that is too little."""
    if len(part.times_s) < LEAST_READINGS:
        return None
    means, white, differences = grouped_means(part, flow_gps)
    fading_var = part.noise.fading_var / flow_gps**2
    rest = None
    if fading_var > 0.0:
        step_s = float(np.median(np.diff(part.times_s)))
        rest = fading_var, -step_s / math.log(part.noise.correlation)
    rows = series.rows(means)
    yield
    good, fit = yield from clean(means, white + fading_var, rows, series)
    if np.count_nonzero(good) < LEAST_READINGS:
        return None
    scattered = scatter(differences, series.rising_rows(means.times_s) @ fit, good)
    kept = means.kept(good)
    whitening = Whitening(kept, white[good], np.column_stack([rows[good], kept.grams]))
    return Stretch(series, fit, kept, whitening, rest, scattered)


def _weighed_up(
    stretches: list[Stretch], judged_s: tuple[Seconds, Seconds], fall_error_s: Seconds
) -> Slices[Evenness]:
    """The mean over the grid, each point by its likelihood."""

    def scattered(drumming: Relaxation) -> Array:
        every = [one.scatter.log_likelihoods(one.noise(drumming)) for one in stretches]
        total: Array = np.sum(every, axis=0)
        return total

    drummings, pace = coarse(scattered), SliceBudget()
    evidence = yield from weighed_stretches(stretches, drummings)
    posterior = Posterior(drummings, evidence, pace)
    yield from posterior.look(COARSE)
    good = good_hands(posterior.log.max(axis=0))
    finer = drummings.filled(posterior.log.max(axis=1), scattered)
    if not (drummings.silent and finer.silent):
        evidence = yield from weighed_stretches(stretches, finer)
    posterior = Posterior(finer, evidence, pace)
    yield from posterior.look(good)
    best = posterior.log.max(axis=1)
    near = np.flatnonzero(best > best.max() - NEAR_NATS)
    yield from posterior.look(near_hands(posterior.log.max(axis=0)), near)
    judged = [one.series.judged(*judged_s) for one in evidence]
    most = posterior.log.max()
    kinds, hands = np.nonzero(posterior.log > most - COUNTS_NATS)
    figures: list[tuple[float, float, float, float]] = []
    for first in range(0, len(kinds), MOMENTS_AT_A_TIME):
        some = slice(first, first + MOMENTS_AT_A_TIME)
        precisions = [one[hands[some]] for one in posterior.precisions]
        figures += yield from _figures(
            evidence, kinds[some], precisions, judged, fall_error_s, pace
        )
    shares = np.exp(posterior.log[kinds, hands] - most)
    shares /= shares.sum()
    cvs, errors, shifts, opened = np.array(figures).T
    cv = float(shares @ cvs)
    spread = math.sqrt(max(float(shares @ (cvs * cvs + errors * errors)) - cv * cv, 0.0))
    which = np.unique(kinds, return_inverse=True)[1]
    weights = np.bincount(which, shares)
    under = np.bincount(which, shares * cvs) / weights
    by_drumming = math.sqrt(float(weights @ (under - cv) ** 2))
    error = math.hypot(spread, shares @ shifts, OPEN_SHARE * (shares @ opened))
    return Evenness(cv, error, None, float(shares @ finer.strengths_s[kinds]), by_drumming)


def _figures(
    stretches: list[FlowEvidence],
    drummings: NDArray[np.intp],
    precisions: list[Array],
    judged: list[tuple[Array, Array, Seconds]],
    fall_error_s: Seconds,
    pace: SliceBudget,
) -> Slices[list[tuple[float, float, float, float]]]:
    """For each of these kinds of drumming with its hand the evenness, its error, how far a longer
    fall would move it, and how much of it rests on waves that the readings leave open."""
    parts = []
    for one, before, (row, square, lasts_s) in zip(stretches, precisions, judged, strict=True):
        if lasts_s > 0.0:
            fit, covariance = one.moments(drummings, before)
            beyond = one.series.beyond(before)
            parts.append((one.series, fit, covariance, beyond, row, square, lasts_s))
            if pace.due(MOMENTS_TAKE * len(before)):
                yield
    whole_s = sum(part[-1] for part in parts)
    means, squares, moved, variances, opened = np.zeros((5, len(precisions[0])))
    for _, fit, _, _, row, _, lasts_s in parts:
        means += lasts_s / whole_s * (fit @ row)
    for series, fit, covariance, beyond, row, form, lasts_s in parts:
        if pace.due(MOMENTS_TAKE * len(fit)):
            yield
        share = lasts_s / whole_s
        off = fit.copy()
        off[:, MEAN_FLOW] -= means
        pull = off @ form
        spread = form @ covariance
        turned = np.trace(spread, axis1=1, axis2=2)
        squares += share * (np.sum(pull * off, axis=1) + turned + beyond)
        opened += share * turned
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
    for mean, seen_square, more, variance, left_open in zip(
        means.tolist(),
        squares.tolist(),
        moved.tolist(),
        variances.tolist(),
        opened.tolist(),
        strict=True,
    ):
        whole = max(seen_square, LEAST_SQUARE)
        cv, error = root_mean(whole / mean**2, variance / mean**4)
        root = math.sqrt(whole)
        longer = math.sqrt(max(whole + more, 0.0))
        closed = math.sqrt(max(whole - left_open, 0.0))
        found.append((cv, error, (longer - root) / mean, (root - closed) / mean))
    return found
