"""When readings that come in bunches were weighed, and which of a bunch are missing.

Bunches have a beat of their own; which of them a loss has left open is weighed by the path of the
weight.
"""

import math
from itertools import combinations
from typing import TypeAlias

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
# Readings whose places are means over several placings may come this near to the next, in periods.
LEAST_STEP = 1.0

_Weights: TypeAlias = list[tuple[float, float]]
"""Places, in periods, and the weights there."""


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
    # Lost bunches leave more room than one may use.
    rooms = np.full(len(starts), whole)
    if rough:
        rooms = np.minimum(np.diff(places, prepend=places[0] - whole).astype(np.intp), whole)
    complete = sizes == rooms
    bend_g = _usual_bend(grams, starts[complete], sizes[complete], noise_var)
    before: _Weights = []
    for i, (at, size, place, room) in enumerate(
        zip(starts.tolist(), sizes.tolist(), places.tolist(), rooms.tolist(), strict=True)
    ):
        members = slice(at, at + size)
        if room < size or room > MOST_IN_BUNCH:
            kept[members], before = False, []
            continue
        first_place = place - room + 1.0
        after: _Weights = []
        if i + 1 < len(starts) and complete[i + 1]:
            ahead = grams[at + size : at + size + min(2, int(sizes[i + 1]))].tolist()
            first_after = float(places[i + 1] - rooms[i + 1]) + 1.0
            after = [(first_after + k, g) for k, g in enumerate(ahead)]
        before, after = ([(one - first_place, g) for one, g in side] for side in (before, after))
        slots, spread = _placed(grams[members], room, before, after, bend_g)
        times[members] = phase_s + (first_place + slots) * period_s
        # One that is put in a wrong place shifts the others with it: as many as stand for one.
        variances[members] += spread * room * period_s**2
        newest = [*before, *zip(slots.tolist(), grams[members].tolist(), strict=True)][-2:]
        before = [(slot + first_place, g) for slot, g in newest]
    times[~kept] = arrivals_s[~kept]
    return Restamped(times, variances, kept) if np.mean(kept) >= LEAST_PLACED else None


def _usual_bend(
    grams: Array, starts: NDArray[np.intp], sizes: NDArray[np.intp], noise_var: float
) -> float:
    """By how much what comes in between two readings differs from what comes in before the next, on
    average over these bunches, of which none is missing; no less than noise makes of it."""
    bends = [
        np.abs(np.diff(grams[at : at + size], 2))
        for at, size in zip(starts.tolist(), sizes.tolist(), strict=True)
        if size > 2
    ]
    least_g = math.sqrt(6.0 * noise_var)
    return max(float(np.mean(np.concatenate(bends))), least_g) if bends else least_g


def _beat(bunches_s: Array, about_s: Seconds) -> tuple[Seconds, Seconds] | None:
    """Period and phase; None where none stands out."""
    beat = beat_of(bunches_s, about_s, 1.0 / (1.0 + TRIED_SHARE), 1.0 / (1.0 - TRIED_SHARE))
    return None if beat is None or beat.resultant < SEEN_FROM else (beat.period_s, beat.phase_s)


def _placed(
    grams: Array, room: int, before: _Weights, after: _Weights, bend_g: float
) -> tuple[Array, Array]:
    """Slots 0 to ``room - 1`` of these readings in a bunch, each with its variance.

    Every placing counts by how little the flow changes from one reading to the next, between those
    before the bunch and after it, too. A large change where water starts or stops is no rarer than
    many small ones: it counts by its size (Laplace's distribution).
    """
    size = len(grams)
    if size == room:
        return np.arange(float(size)), np.zeros(size)
    choices = np.array(list(combinations(range(room), size)), dtype=float)
    sides = [np.array(side).reshape(-1, 2) for side in (before, after)]
    earlier, later = [np.tile(side[:, 0], (len(choices), 1)) for side in sides]
    steps = np.diff(np.hstack([earlier, choices, later]))
    gains = np.diff(np.concatenate([sides[0][:, 1], grams, sides[1][:, 1]]))
    changes = np.sum(np.abs(np.diff(gains / np.maximum(steps, LEAST_STEP))), axis=1) / bend_g
    weights = np.exp(changes.min() - changes)
    weights /= weights.sum()
    slots = weights @ choices
    return slots, weights @ (choices - slots) ** 2
