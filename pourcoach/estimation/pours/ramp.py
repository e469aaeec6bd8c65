"""When the water started, in hindsight: rest, then a flow that ramps up from nothing.

A hinge through such a start lies half a ramp late, so the ramp is fitted too. With s the time
since the first water at τ and ρ the length of the ramp, flow is ``min(s/ρ, 1)·(b + c s)``, and

    weight = a + b·(s²/2ρ or s - ρ/2) + c·(s³/3ρ or s²/2 - ρ²/6)

before and after the ramp's end. Water is weighed once it has fallen for t_f, and pushes where it
lands with t_f times the flow there: s counts from the landing then, and t_f times the flow is
added. For each ρ of a small grid, a, b, c and τ are fitted by
Gauss-Newton least squares; the fits are averaged, each weighted by its probability (Bayesian
model averaging: Hoeting et al. 1999, Statistical Science 14:382). What the hand does beyond
``b + c s`` grows as s³ and counts as noise.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.noise.whitening import Array
from pourcoach.estimation.pours.hinge import fit_rise
from pourcoach.estimation.pours.record import block_means

# Ramps thought possible, s, all equally likely; hands stop sooner than they start (assumed), and
# the shortest stands for water that starts or stops at once.
RAMPS_UP_S = (0.1, 0.22, 0.29, 0.36, 0.43, 0.5)
RAMPS_DOWN_S = (0.06, 0.12, 0.18, 0.24, 0.3, 0.36)
# How fast a hand's flow changes at most times, g/s² (one standard deviation), and how fast that
# changes in turn, g/s³: of a wobble of 0.8 g/s at 0.5 Hz (chosen on simulated hands of two kinds).
CHANGE_GPS2 = 2.5
UNMODELLED_GPS3 = 6.0
ROUNDS = 12
# The weight of each reading hangs on the flow, so steps may go to and fro between two: from this
# round on half of each is made.
HALVED_FROM = 4
CLOSE_S = 0.001
LEAST_READINGS = 6
LARGEST_STEP_S = 0.12
# What is known of each of a, b, c and tau before any reading, so that their matrix can be inverted.
LEAST_KNOWN = 1e-9
# A platform answers late by a time of its own and smears a bend: what that may shift it (assumed).
RESPONSE_ERROR_S = 0.014
# Readings are taken together to this many a second: a bend holds no finer detail.
ENOUGH_PER_S = 20.0


@dataclass(frozen=True, slots=True)
class Ramp:
    """The first water, with standard errors."""

    t_s: Seconds
    t_error_s: Seconds
    level_g: Grams
    """Before it."""
    level_error_g: Grams
    t_by_fall: float
    """By how much ``t_s`` moves with the time of the fall, seconds a second."""
    level_by_fall_gps: GramsPerSecond
    """By how much ``level_g`` does, grams a second."""


def fit_start(
    times_s: Sequence[Seconds],
    grams: Sequence[Grams],
    noise_var: float,
    fall_s: Seconds = 0.0,
    drumming_s: Seconds = 0.0,
) -> Ramp | None:
    """The start in readings of rest and the first of a pour; None where there is none.

    ``noise_var`` is that of a reading at rest, ``drumming_s`` times the flow is the deviation that
    water adds.
    """
    return _fit_bend(times_s, grams, noise_var, fall_s, drumming_s, RAMPS_UP_S)


def fit_end(
    times_s: Sequence[Seconds],
    grams: Sequence[Grams],
    noise_var: float,
    fall_s: Seconds = 0.0,
    drumming_s: Seconds = 0.0,
) -> Ramp | None:
    """The last water: a start with time and weight turned round. ``level_g`` is after it."""
    turned = _fit_bend(
        [-t for t in reversed(times_s)],
        [-g for g in reversed(grams)],
        noise_var,
        -fall_s,
        drumming_s,
        RAMPS_DOWN_S,
    )
    if turned is None:
        return None
    # The fall is turned round with time and weight, so what it moves keeps its sign.
    return replace(turned, t_s=-turned.t_s, level_g=-turned.level_g)


def _fit_bend(
    times_s: Sequence[Seconds],
    grams: Sequence[Grams],
    noise_var: float,
    fall_s: Seconds,
    drumming_s: Seconds,
    ramps_s: Sequence[Seconds],
) -> Ramp | None:
    """A start; with time turned round water is weighed before it leaves, and ``fall_s`` below 0."""
    if len(times_s) < LEAST_READINGS:
        return None
    times_s, grams, together = block_means(times_s, grams, ENOUGH_PER_S)
    noise_var /= together
    hinge = fit_rise(times_s, grams)
    if hinge is None:
        return None
    # All of rest acts as one reading of the level.
    early_s = hinge.t_s - ramps_s[-1] - 2.0 * LARGEST_STEP_S + min(fall_s, 0.0)
    times, weights = np.array(times_s), np.array(grams)
    rest = weights[times < early_s]
    level_g = float(rest.mean()) if len(rest) else hinge.level_g
    bend = _Bend(
        times[times >= early_s] - hinge.t_s,
        weights[times >= early_s] - level_g,
        len(rest),
        noise_var,
        drumming_s,
        fall_s,
    )
    fits = _fits(bend, hinge.slope_gps, np.array(ramps_s))
    if not len(fits.t_s):
        return None
    share = np.exp(fits.neg_log_likelihood.min() - fits.neg_log_likelihood)
    share /= share.sum()
    t_s, level = float(share @ fits.t_s), float(share @ fits.level_g)
    t_var = float(share @ (fits.t_var + (fits.t_s - t_s) ** 2))
    t_error_s = math.hypot(math.sqrt(t_var), RESPONSE_ERROR_S)
    level_error_g = math.sqrt(float(share @ (fits.level_var + (fits.level_g - level) ** 2)))
    return Ramp(
        hinge.t_s + t_s,
        t_error_s,
        level_g + level,
        level_error_g,
        # A longer fall makes another ramp the likelier, too.
        float(share @ (fits.t_by_fall - (fits.t_s - t_s) * fits.log_by_fall)),
        float(share @ (fits.level_by_fall - (fits.level_g - level) * fits.log_by_fall)),
    )


@dataclass(frozen=True, slots=True)
class _Bend:
    """Readings about a bend that is expected at 0, from a level of 0 that so many know."""

    times_s: Array
    grams: Array
    rest_count: int
    noise_var: float
    drumming_s: Seconds
    fall_s: Seconds


@dataclass(frozen=True, slots=True)
class _Fits:
    """One a ramp: all are (r,)."""

    neg_log_likelihood: Array
    """Minus the logarithm of its probability, but for a constant."""
    t_s: Array
    t_var: Array
    level_g: Array
    level_var: Array
    t_by_fall: Array
    """What a longer fall does to each."""
    level_by_fall: Array
    log_by_fall: Array


def _fits(bend: _Bend, flow_gps: float, ramps_s: Array) -> _Fits:
    """Of all ramps side by side, those that settle."""
    ramp = ramps_s[:, None]
    fitted = np.zeros((len(ramps_s), 4))  # a, b, c, tau
    fitted[:, 1], fitted[:, 3] = flow_gps, -0.5 * ramps_s
    settled = np.zeros(len(ramps_s), dtype=bool)
    # The level at rest is 0 here, known from so many readings; c is a hand's.
    known = np.array([bend.rest_count / bend.noise_var, 0.0, 1.0 / CHANGE_GPS2**2, 0.0])
    least = np.diag(known + LEAST_KNOWN)
    found = np.zeros((7, len(ramps_s)))
    for count in range(ROUNDS):
        a, b, c, tau = fitted.T[:, :, None]
        s = np.maximum(bend.times_s - tau - bend.fall_s, 0.0)
        runs, ramps = s > 0.0, s < ramp
        share = np.minimum(s / ramp, 1.0)
        by_b = np.where(ramps, s * s / (2 * ramp), s - 0.5 * ramp)
        cube = s * s * s
        by_c = np.where(ramps, cube / (3 * ramp), 0.5 * s * s - ramp * ramp / 6.0)
        by_b, by_c = by_b + bend.fall_s * share, by_c + bend.fall_s * share * s
        steady = b + c * s
        flow = share * steady
        change = flow + bend.fall_s * (np.where(ramps, steady / ramp, 0.0) + share * c)
        beyond = UNMODELLED_GPS3 * cube / 6.0
        variance = bend.noise_var + beyond * beyond + (bend.drumming_s * flow) ** 2
        residual = bend.grams - a - b * by_b - c * by_c
        rows = np.stack([np.ones_like(s), by_b, by_c, np.where(runs, -change, 0.0)], axis=2)
        weighted = rows / variance[:, :, None]
        normal = weighted.transpose(0, 2, 1) @ rows + least
        right = (residual[:, None] @ weighted)[:, 0] - fitted * known
        inverse = np.linalg.inv(normal)
        step = (inverse @ right[:, :, None])[:, :, 0]
        squares = np.sum(residual * residual / variance, axis=1) + fitted**2 @ known
        # Readings at rest add nothing: a long ramp, which leaves fewer of them, is the likelier.
        logs = np.sum(np.log(variance), axis=1, where=runs)
        if count >= HALVED_FROM:
            step *= 0.5
        step[:, 3] = np.clip(step[:, 3], -LARGEST_STEP_S, LARGEST_STEP_S)
        # One that has settled stays as it is.
        moving = ~settled
        fitted[moving] += step[moving]
        # A longer fall delays what is weighed and lets it push longer; the fit makes up for it.
        unfitted = -rows[:, :, 3] - flow
        by_fall = (inverse @ (unfitted[:, None] @ weighted)[:, 0, :, None])[:, :, 0]
        figures = (
            *(0.5 * (squares + logs), inverse[:, 3, 3], fitted[:, 0], inverse[:, 0, 0]),
            *(by_fall[:, 3], by_fall[:, 0], np.sum(residual * unfitted / variance, axis=1)),
        )
        found = np.where(moving, figures, found)
        settled |= np.abs(step[:, 3]) < CLOSE_S
        if settled.all():
            break
    # One that goes to and fro as readings come to lie on its other side is known as well as that.
    found[1, ~settled] += step[~settled, 3] ** 2
    settled |= 2.0 * step[:, 3] ** 2 < found[1]
    # One that never settles is none of these readings', nor is one that begins after them.
    settled &= (fitted[:, 1] > 0.0) & runs.any(axis=1)
    log, t_var, level_g, level_var, *by_fall = found[:, settled]
    return _Fits(log, fitted[settled, 3], t_var, level_g, level_var, *by_fall)
