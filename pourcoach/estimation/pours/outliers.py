"""Readings of a pour that are neither water nor noise: knocks, spikes, a hand that lets go."""

import math
from collections.abc import Generator

import numpy as np
from numpy.typing import NDArray

from pourcoach.estimation.noise.whitening import Array, Means
from pourcoach.estimation.pours.flow_evidence import ROWS_AT_A_TIME
from pourcoach.estimation.pours.flow_series import FIRST_WAVE, FlowSeries

# A lively hand and usual drumming stand in for what is not known yet, both as shares of the flow.
HAND = np.array([0.2])
DRUMMING_S = 0.02
# Student's t with so few degrees of freedom hardly heeds what lies far off (Lange, Little & Taylor
# 1989, J. American Statistical Association 84:881).
FREEDOM = 4.0
ROUNDS = 6
# Beyond this many deviations a reading is no water, and nor are its neighbours within this time,
# which its edges reach.
FAR = 4.5
EDGE_S = 0.1
# A reading alone in a gap is followed all the way: it is no further off than this allows.
LEAST_FREE = 0.05
# Half of normal deviates lie within this one.
HALF_WITHIN = 0.6745
# No hand pours backwards, nor this many times its own mean: there a knock is taken for flow.
LEAST_FLOW, MOST_FLOW = -0.15, 3.3
# Flow is looked at so often a second.
LOOKED_AT_PER_S = 12.5
# A flow that is estimated smaller drums no less than this share of the mean.
LEAST_DRUMMING = 0.2
# Looked for again so often without what was found.
PASSES = 6
# No water makes the weight fall: where it does within the first time, or where so many steps in a
# row and so long a time are missing, as where a touch was left out, whatever lies within the last
# time of it does not lead the fit, which could follow what is left of a long knock (assumed; knocks
# last up to 0.6 s).
FALLS_S = 0.35
MISSING_STEPS, MISSING_S = 8.0, 0.15
KNOCK_S = 0.4


def clean(
    means: Means, variances: Array, rows: Array, series: FlowSeries
) -> Generator[None, None, tuple[NDArray[np.bool_], Array]]:
    """(n,) which means to believe, and the coefficients of their flow, whose mean is 1. Yields
    between passes."""
    precision = np.concatenate(
        [np.full(FIRST_WAVE, 1e-4), 1.0 / series.wave_variances(HAND, HAND)[0]]
    )
    flows = np.ones(len(means.times_s))
    own_rows = series.flow_rows(means.times_s - series.fall_s)
    times_s = np.arange(series.from_s, series.to_s, 1.0 / LOOKED_AT_PER_S)
    flow_rows = series.flow_rows(times_s)
    times_s += series.fall_s
    good = np.ones(len(means.times_s), dtype=bool)
    leading = good
    for _ in range(PASSES):
        before = good
        # Water drums the harder, the more of it lands.
        deviations = np.sqrt(variances + (DRUMMING_S * flows) ** 2)
        trust = (good & leading).astype(float)
        for _ in range(ROUNDS):
            weighted = rows * (trust / deviations**2)[:, None]
            normal = np.diag(precision)
            for some in _slices(len(rows)):
                normal += weighted[some].T @ rows[some]
            fit = np.linalg.solve(normal, weighted.T @ means.grams)
            off = (means.grams - rows @ fit) / deviations
            trust = good * (FREEDOM + 1.0) / (FREEDOM + off * off)
        covariance = np.linalg.inv(normal)
        # A reading that the fit follows lies nearer to it than to what the others say.
        followed = np.concatenate(
            [
                np.sum((weighted[some] @ covariance) * rows[some], axis=1)
                for some in _slices(len(rows))
            ]
        )
        off /= np.sqrt(np.maximum(1.0 - followed, LEAST_FREE))
        yield
        # Where drumming or noise is larger than thought, far is further.
        far = FAR * max(1.0, float(np.median(np.abs(off[good]))) / HALF_WITHIN)
        led, leading = leading, ~_beside_knocks(means, far * float(np.median(deviations)))
        flows = np.clip(own_rows @ fit, LEAST_DRUMMING, MOST_FLOW)
        wrong = [means.times_s[np.abs(off) > far]]
        flow = flow_rows @ fit
        for at_s in times_s[(flow < LEAST_FLOW) | (flow > MOST_FLOW)]:
            # In a gap nothing is left to be wrong but the readings at its edges.
            kept_s = means.times_s[good]
            place = int(np.searchsorted(kept_s, at_s))
            wrong.append(kept_s[max(place - 1, 0) : place + 1])
        near = np.abs(means.times_s[:, None] - np.concatenate(wrong)) <= EDGE_S
        good = good & ~near.any(axis=1)
        as_before = np.array_equal(good, before) and np.array_equal(leading, led)
        if as_before or not good.any():
            break
    return good, fit


def _beside_knocks(means: Means, far: float) -> NDArray[np.bool_]:
    """(n,) which means lie beside a gap, or where the weight falls by more than ``far`` makes two
    differ."""
    times_s, grams = means.times_s, means.grams
    first_s, last_s = means.members_s[:, 0], means.members_s[:, -1]
    gaps_s = first_s[1:] - last_s[:-1]
    step_s = float(np.median(gaps_s))
    missing = np.flatnonzero(gaps_s > max(MISSING_STEPS * step_s, MISSING_S))
    found = [(last_s[i], first_s[i + 1]) for i in missing.tolist()]
    for lag in range(1, len(times_s)):
        passed_s = times_s[lag:] - times_s[:-lag]
        if passed_s.min() > FALLS_S:
            break
        fell = grams[:-lag] - grams[lag:] > math.sqrt(2.0) * far
        falls = np.flatnonzero(fell & (passed_s <= FALLS_S))
        found += [(times_s[i], times_s[i + lag]) for i in falls.tolist()]
    beside = np.zeros(len(times_s), dtype=bool)
    for from_s, to_s in found:
        beside |= (times_s > from_s - KNOCK_S) & (times_s < to_s + KNOCK_S)
    return beside


def _slices(count: int) -> list[slice]:
    return [slice(first, first + ROWS_AT_A_TIME) for first in range(0, count, ROWS_AT_A_TIME)]
