"""When readings that come in bunches were weighed, and which of a bunch are missing.

Bunches have a beat of their own; which of them a loss has left open is weighed by the path of the
weight.
"""

import math
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from pourcoach.domain.units import Seconds
from pourcoach.estimation.noise.whitening import Array
from pourcoach.estimation.stamps.beat import beat_of
from pourcoach.estimation.stamps.restamped import Restamped

# Readings that come within this share of the mean step are one bunch; so many of all have to.
BUNCH_SHARE = 0.25
BUNCHED_FROM = 0.3
MOST_IN_BUNCH = 8
# The largest bunch of which there is such a share is a whole one.
WHOLE_FROM = 0.1
# Periods are tried this far on either side, and a beat is seen from this resultant length on.
TRIED_SHARE = 0.15
SEEN_FROM = 0.75
# A gap is one from so many periods on.
GAP_PERIODS = 1.6
# Where fewer of the readings than this share fit into their bunches, there are none.
LEAST_PLACED = 0.8
# How far the weight strays from its path over a bunch beside the noise of the scale, as a share of
# what comes in meanwhile: from a line between both ends, and from one of the usual flow (assumed).
BETWEEN_SHARE, STRAYS_SHARE = 0.05, 0.2


def first_of_bunches(arrivals_s: Array) -> NDArray[np.bool_] | None:
    """Which begin a bunch; None where readings come one by one."""
    mean_step_s = (arrivals_s[-1] - arrivals_s[0]) / (len(arrivals_s) - 1)
    first = np.concatenate([[True], np.diff(arrivals_s) > BUNCH_SHARE * mean_step_s])
    return first if np.mean(~first) > BUNCHED_FROM else None


def placed_in_bunches(
    arrivals_s: Array, first: NDArray[np.bool_], grams: Array, noise_var: float
) -> Restamped | None:
    """Of readings of which these are the ``first`` (n,) of a bunch; None where too few fit into
    theirs."""
    starts = np.flatnonzero(first)
    sizes = np.diff(np.append(starts, len(arrivals_s)))
    shares = np.bincount(sizes) / len(sizes)
    whole = min(int(np.flatnonzero(shares >= WHOLE_FROM)[-1]), MOST_IN_BUNCH)
    bunches_s = arrivals_s[starts]
    usual_s = float(np.median(np.diff(bunches_s)))
    fine = _beat(bunches_s, usual_s / whole)
    rough = fine or _beat(bunches_s, usual_s)
    if rough is None:
        # No beat to be seen under the delays: arrivals as they are, off by their delays. Counted
        # from one bunch to the next, each reading lost would shift all that follow.
        steps_s = np.diff(bunches_s)
        usual_steps_s = steps_s[steps_s < GAP_PERIODS * usual_s]
        period_s, phase_s = float(np.mean(usual_steps_s)) / whole, float(bunches_s[0])
        places = (bunches_s - phase_s) / period_s
        doubt = 0.5 * float(np.var(usual_steps_s))
    else:
        unit_s, phase_s = rough
        per = 1 if fine is not None else whole
        places = per * np.round((bunches_s - phase_s) / unit_s)
        period_s, doubt = unit_s / per, 0.0
    times = np.empty(len(arrivals_s))
    variances = np.full(len(arrivals_s), doubt)
    kept = np.ones(len(arrivals_s), dtype=bool)
    flow_g = float(grams[-1] - grams[0]) / max(places[-1] - places[0], 1.0)
    before_place, before_g = places[0] - whole, float(grams[0]) - flow_g
    for i, (at, size, place) in enumerate(
        zip(starts.tolist(), sizes.tolist(), places.tolist(), strict=True)
    ):
        members = slice(at, at + size)
        # Lost bunches leave more room than one may use.
        room = min(int(place - before_place), whole) if rough else whole
        if room < size or room > MOST_IN_BUNCH:
            kept[members] = False
            continue
        # The path from the last reading before the bunch to the first after it, where both are
        # known; else the usual flow.
        local_g, strays = flow_g, STRAYS_SHARE
        follows = i + 1 < len(starts) and sizes[i + 1] == places[i + 1] - place
        if follows and place - before_place == room:
            local_g = (float(grams[at + size]) - before_g) / (room + 1.0)
            strays = BETWEEN_SHARE
        sigma_g = math.hypot(math.sqrt(noise_var), strays * flow_g * room)
        start_g = before_g + local_g * (place - before_place - room)
        slots, spread = _placed(grams[members], room, start_g, local_g, sigma_g)
        times[members] = phase_s + (place - room + 1.0 + slots) * period_s
        # One that is put in a wrong place shifts the others with it: as many as stand for one.
        variances[members] += spread * room * period_s**2
        before_place = place
        before_g = float(grams[at + size - 1]) + local_g * (room - 1.0 - float(slots[-1]))
    times[~kept] = arrivals_s[~kept]
    return Restamped(times, variances, kept) if np.mean(kept) >= LEAST_PLACED else None


def _beat(bunches_s: Array, about_s: Seconds) -> tuple[Seconds, Seconds] | None:
    """Period and phase; None where none stands out."""
    beat = beat_of(bunches_s, about_s, 1.0 / (1.0 + TRIED_SHARE), 1.0 / (1.0 - TRIED_SHARE))
    return None if beat is None or beat.resultant < SEEN_FROM else (beat.period_s, beat.phase_s)


def _placed(
    grams: Array, room: int, before_g: float, flow_g: float, sigma_g: float
) -> tuple[Array, Array]:
    """Slots 0 to ``room - 1`` of these readings in a bunch, each with its variance.

    Every placing counts by how near the weights then lie to a line that starts a slot before.
    """
    size = len(grams)
    if size == room:
        return np.arange(float(size)), np.zeros(size)
    choices = np.array(list(combinations(range(room), size)), dtype=float)
    off = grams - before_g - flow_g * (choices + 1.0)
    squares = np.sum(off**2, axis=1) / (2.0 * sigma_g**2)
    weights = np.exp(squares.min() - squares)
    weights /= weights.sum()
    slots = weights @ choices
    return slots, weights @ (choices - slots) ** 2
