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
from dataclasses import dataclass

from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.pours.hinge import fit_rise
from pourcoach.estimation.pours.least_squares import solve
from pourcoach.estimation.pours.record import block_means

# Ramps thought possible, s, all equally likely; hands stop sooner than they start (assumed), and
# the shortest stands for water that starts or stops at once.
RAMPS_UP_S = (0.1, 0.22, 0.29, 0.36, 0.43, 0.5)
RAMPS_DOWN_S = (0.06, 0.12, 0.18, 0.24, 0.3, 0.36)
# How fast a hand's flow changes at most times, g/s² (one standard deviation), and how fast that
# changes in turn, g/s³: of a wobble of 0.8 g/s at 0.5 Hz (chosen on simulated hands of two kinds).
CHANGE_GPS2 = 2.5
UNMODELLED_GPS3 = 6.0
ROUNDS = 8
CLOSE_S = 0.001
LEAST_READINGS = 6
LARGEST_STEP_S = 0.12
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
    return Ramp(-turned.t_s, turned.t_error_s, -turned.level_g, turned.level_error_g)


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
    rest = [g for t, g in zip(times_s, grams, strict=True) if t < early_s]
    level_g = sum(rest) / len(rest) if rest else hinge.level_g
    bend = [
        (t - hinge.t_s, g - level_g) for t, g in zip(times_s, grams, strict=True) if t >= early_s
    ]
    fits = [
        fit
        for ramp_s in ramps_s
        if (fit := _fit(bend, len(rest), hinge.slope_gps, ramp_s, (noise_var, drumming_s, fall_s)))
        is not None
    ]
    if not fits:
        return None
    least = min(fit.neg_log_likelihood for fit in fits)
    weights = [math.exp(least - fit.neg_log_likelihood) for fit in fits]
    total = sum(weights)
    t_s = sum(w * fit.t_s for w, fit in zip(weights, fits, strict=True)) / total
    level = sum(w * fit.level_g for w, fit in zip(weights, fits, strict=True)) / total
    t_var = (
        sum(w * (fit.t_var + (fit.t_s - t_s) ** 2) for w, fit in zip(weights, fits, strict=True))
        / total
    )
    level_var = sum(w * fit.level_var for w, fit in zip(weights, fits, strict=True)) / total
    t_error_s = math.hypot(math.sqrt(t_var), RESPONSE_ERROR_S)
    return Ramp(hinge.t_s + t_s, t_error_s, level_g + level, math.sqrt(level_var))


@dataclass(frozen=True, slots=True)
class _Fit:
    neg_log_likelihood: float
    """Minus the logarithm of its probability, but for a constant."""
    t_s: Seconds
    t_var: float
    level_g: Grams
    level_var: float


def _fit(
    bend: Sequence[tuple[Seconds, Grams]],
    rest_count: int,
    flow_gps: float,
    ramp_s: Seconds,
    known: tuple[float, Seconds, Seconds],
) -> _Fit | None:
    noise_var, drumming_s, fall_s = known
    a, b, c, tau = 0.0, flow_gps, 0.0, -0.5 * ramp_s
    for _ in range(ROUNDS):
        normal = [[0.0] * 4 for _ in range(4)]
        right = [0.0] * 4
        # The level at rest is 0 here, known from so many readings; c is a hand's.
        normal[0][0] = rest_count / noise_var
        right[0] = -a * normal[0][0]
        normal[2][2] = 1.0 / CHANGE_GPS2**2
        right[2] = -c * normal[2][2]
        squares = a * a * normal[0][0] + c * c * normal[2][2]
        logs = 0.0
        for t, y in bend:
            s = t - tau - fall_s
            if s <= 0.0:
                residual, weight = y - a, 1.0 / noise_var
                row = (1.0, 0.0, 0.0, 0.0)
            else:
                if s < ramp_s:
                    share, rising = s / ramp_s, 1.0 / ramp_s
                    by_b, by_c = s * s / (2 * ramp_s), s**3 / (3 * ramp_s)
                else:
                    share, rising = 1.0, 0.0
                    by_b, by_c = s - 0.5 * ramp_s, 0.5 * s * s - ramp_s * ramp_s / 6.0
                by_b, by_c = by_b + fall_s * share, by_c + fall_s * share * s
                flow = share * (b + c * s)
                change = flow + fall_s * (rising * (b + c * s) + share * c)
                beyond = UNMODELLED_GPS3 * s**3 / 6.0
                variance = noise_var + beyond * beyond + (drumming_s * flow) ** 2
                weight = 1.0 / variance
                logs += math.log(variance)
                residual = y - a - b * by_b - c * by_c
                row = (1.0, by_b, by_c, -change)
            squares += weight * residual * residual
            for i in range(4):
                weighted = weight * row[i]
                right[i] += weighted * residual
                for j in range(i + 1):
                    normal[i][j] += weighted * row[j]
        normal[3][3] += 1e-9
        solved = solve(normal, right)
        if solved is None:
            return None
        step, inverse = solved
        neg_log_likelihood = 0.5 * (squares + logs)
        move = min(max(step[3], -LARGEST_STEP_S), LARGEST_STEP_S)
        a, b, c, tau = a + step[0], b + step[1], c + step[2], tau + move
        if abs(move) < CLOSE_S:
            break
    else:
        return None  # It never settled: this ramp is none of these readings'.
    if not b > 0.0:
        return None
    return _Fit(neg_log_likelihood, tau, inverse[3][3], a, inverse[0][0])
