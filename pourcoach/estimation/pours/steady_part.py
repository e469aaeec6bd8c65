"""The steady part of a pour: its mean flow, its readings taken together, and what is missing."""

from statistics import median

import numpy as np

from pourcoach.domain.units import GramsPerSecond, Seconds
from pourcoach.estimation.noise.whitening import Array, Means
from pourcoach.estimation.pours.pour_readings import PourReadings

LEAST_READINGS = 8
# Readings are taken together to about so many a second: hands are slower, drumming seen by then.
ENOUGH_PER_S = 25.0
# Where so many usual steps of time lie between two readings, some are missing.
MISSING_STEPS = 1.6
# A time without a reading hides the water from so many usual steps on, and from so many seconds on.
GAP_STEPS = 3.0
GAP_S = 0.3


def mean_flow(steady: PourReadings) -> GramsPerSecond | None:
    """About; None where there is none. The median over pairs half the pour apart heeds no knock."""
    times, grams = steady.times_s, steady.grams
    half = len(times) // 2
    if len(times) < LEAST_READINGS:
        return None
    flow_gps = median(
        (grams[i + half] - grams[i]) / (times[i + half] - times[i])
        for i in range(len(times) - half)
    )
    return flow_gps if flow_gps > 0.0 else None


def taken_together(part: PourReadings, flow_gps: GramsPerSecond) -> tuple[Means, Array]:
    """Neighbouring readings taken together, in units of the mean flow, and the variance of each
    that has nothing to do with its neighbours'."""
    times = np.array(part.times_s)
    step_s = float(np.median(np.diff(times)))
    count = max(round(1.0 / (step_s * ENOUGH_PER_S)), 1)
    members: list[list[int]] = [[0]]
    for i in range(1, len(times)):
        if len(members[-1]) == count or times[i] - times[i - 1] > MISSING_STEPS * step_s:
            members.append([])
        members[-1].append(i)
    places = np.array([row + row[-1:] * (count - len(row)) for row in members])
    shares = np.array([[1.0 / len(row)] * len(row) + [0.0] * (count - len(row)) for row in members])
    grams = (np.array(part.grams) - part.grams[0]) / flow_gps
    members_s = times[places]
    means = Means(
        times_s=np.sum(members_s * shares, axis=1),
        members_s=members_s,
        shares=shares,
        grams=np.sum(grams[places] * shares, axis=1),
    )
    white = np.full(len(members), part.noise.white_var / flow_gps**2) / means.counts
    if part.stamp_vars_s2:
        # Readings of one burst are late together, so that taking them together helps little.
        white += np.sum(np.array(part.stamp_vars_s2)[places] * shares, axis=1)
    return means, white


def unread_s(means: Means, from_s: Seconds, to_s: Seconds) -> Seconds:
    """How long nothing good was read between two moments."""
    times = [from_s, *means.times_s.tolist(), to_s]
    gaps = np.diff(times)
    longest_s = max(GAP_STEPS * float(np.median(gaps)), GAP_S)
    return float(np.sum(gaps[gaps > longest_s]))
