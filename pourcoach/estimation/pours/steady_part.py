"""The steady part of a pour: its mean flow, its readings taken together, and what is missing."""

import math
from collections.abc import Iterator
from statistics import median

import numpy as np

from pourcoach.domain.limits import FULL_SHARE, LONGEST_RAMP_S
from pourcoach.domain.units import GramsPerSecond, Seconds
from pourcoach.estimation.noise.whitening import Array, Means
from pourcoach.estimation.pours.pour_readings import PourReadings
from pourcoach.estimation.pours.scatter import Halves, halves

LEAST_READINGS = 8
# Pairs of readings that give the mean flow well enough.
ENOUGH_PAIRS = 500
# The flow is seen well enough over so long a time; below this share of the mean it has faded.
FLOW_OVER_S = 0.4
FADED_SHARE = 0.1
# Readings are taken together to about so many a second, which hands are slower than; and twice as
# many halves of them show drumming.
ENOUGH_PER_S = 12.5
# The usual step, in shares of theirs, from which on readings are not paired.
LEAST_PAIRED = 0.65
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
        for i in range(0, len(times) - half, half // ENOUGH_PAIRS + 1)
    )
    return flow_gps if flow_gps > 0.0 else None


def before_slow_ramp(steady: PourReadings, flow_gps: GramsPerSecond) -> Seconds:
    """When the flow has left, as weighed by a scale that follows slowly; else the last moment.

    Only such a scale shows a flow that fades to nothing before the last water: a hand that pours
    little there stops pouring it, and what it does stays.
    """
    to_s = steady.times_s[-1]
    falling = list(_flows(steady.between(to_s - LONGEST_RAMP_S - FLOW_OVER_S, to_s)))
    if not falling or falling[-1][2] >= FADED_SHARE * flow_gps:
        return to_s
    full_s = (a for a, _, flow in reversed(falling) if flow >= FULL_SHARE * flow_gps)
    return max(next(full_s, -math.inf), to_s - LONGEST_RAMP_S)


def _flows(steady: PourReadings) -> Iterator[tuple[Seconds, Seconds, GramsPerSecond]]:
    """From when to when, and how much flow: over ``FLOW_OVER_S`` from each reading on."""
    seen = list(zip(steady.times_s, steady.grams, strict=True))
    place = 0
    for t, g in seen:
        while place < len(seen) and seen[place][0] < t + FLOW_OVER_S:
            place += 1
        if place == len(seen):
            return
        after_s, after_g = seen[place]
        yield t, after_s, (after_g - g) / (after_s - t)


def grouped_means(part: PourReadings, flow_gps: GramsPerSecond) -> tuple[Means, Array, Halves]:
    """Neighbouring readings taken together, in units of the mean flow, the variance of each that
    has nothing to do with its neighbours', and how its halves differ."""
    times = np.array(part.times_s)
    step_s = float(np.median(np.diff(times)))
    count = max(round(0.5 / (step_s * ENOUGH_PER_S)), 1)
    if step_s * ENOUGH_PER_S <= LEAST_PAIRED:
        count *= 2
    # A mean begins after as many readings, or where some are missing.
    runs = np.split(
        np.arange(len(times)), np.flatnonzero(np.diff(times) > MISSING_STEPS * step_s) + 1
    )
    first = np.concatenate([run[::count] for run in runs])
    sizes = np.diff(first, append=len(times))[:, None]
    within = np.arange(count)
    places = first[:, None] + np.minimum(within, sizes - 1)
    shares = np.where(within < sizes, 1.0 / sizes, 0.0)
    grams = (np.array(part.grams) - part.grams[0]) / flow_gps
    members_s = times[places]
    means = Means(
        times_s=np.sum(members_s * shares, axis=1),
        members_s=members_s,
        shares=shares,
        grams=np.sum(grams[places] * shares, axis=1),
    )
    white_var = part.noise.white_var / flow_gps**2
    white = white_var / means.counts
    if part.stamp_vars_s2:
        # Readings of one burst are late together, so that taking them together helps little.
        white += np.sum(np.array(part.stamp_vars_s2)[places] * shares, axis=1)
    return means, white, halves(means, grams[places], white_var)


def unread_s(means: Means, from_s: Seconds, to_s: Seconds) -> Seconds:
    """How long nothing good was read between two moments."""
    times = [from_s, *means.times_s.tolist(), to_s]
    gaps = np.diff(times)
    longest_s = max(GAP_STEPS * float(np.median(gaps)), GAP_S)
    return float(np.sum(gaps[gaps > longest_s]))
