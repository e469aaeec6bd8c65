"""When the readings of a pour were weighed, from all of their arrivals at once.

A clock that follows arrivals as they come has to guess at once how many readings were lost before
each. In hindsight the beat of the scale shows as a lattice: arrivals lie on whole multiples of its
period, but for their delays (the mean resultant length of their phases is near 1 for the right
period; Mardia & Jupp 2000, "Directional Statistics", chapter 2). Readings that come in bunches have
a lattice of bunches; which of a bunch are missing is weighed by the path of the weight.
"""

import math
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from pourcoach.estimation.noise.whitening import Array

# Fewer readings show no lattice; so many are looked at at a time, for a crystal drifts.
LEAST_READINGS = 24
CHUNK = 400
# Where fewer of the readings than this share fit into their bunches, there are none.
LEAST_PLACED = 0.8
# Stamps are right where, over blocks of so many readings or bunches, their distance from arrivals
# wanders no more than this: the standard error of a block's median, or a share of the period.
BLOCK = 12
BUNCHES = 3
LEAST_BLOCKS = 2
WANDERS_SIGMAS = 2.0
WANDERS_SHARE = 0.08
# Readings that come within this share of the mean step are one bunch; so many of all have to.
BUNCH_SHARE = 0.25
BUNCHED_FROM = 0.3
MOST_IN_BUNCH = 8
# The largest bunch of which there is such a share is a whole one.
WHOLE_FROM = 0.1
# Periods are tried this far on either side, and a lattice is seen from this resultant length on.
TRIED_SHARE = 0.15
SEEN_FROM = 0.75
# A delay has its least at this quantile, and lies below a period less this share.
LEAST_QUANTILE = 0.05
EARLY_SHARE = 0.15
# No reading comes before it is weighed: where its delay is below the least by more than that share
# of the period and by more than this, it was late, and was stamped as if one had been lost before
# it. A gap is one from so many periods on. Where a reading seems late by more than the last share
# of the period and a gap follows, it belongs into that.
EARLY_S = 0.008
GAP_PERIODS = 1.6
LATE_SHARE = 0.6
# A clock that has not found the period yet gives stamps that lie all over: off their arrivals by
# more than the first of these shares of the period, while intervals lie on whole periods within the
# second on average (spread evenly they would lie off by a quarter).
STRAYS_FROM, ON_BEAT_SHARE = 0.2, 0.1
# A clock that goes by arrivals gives stamps no further from them; and longer steps than so many
# times the median are no delays.
AS_CAME_S, AT_ONCE_S = 1e-4, 1e-3
LATE_STEPS = 3.0
# More readings than this that share a place of the lattice, and it is none.
MOST_SHARED = 0.05
# How far the weight strays from its path over a bunch beside the noise of the scale, as a share of
# what comes in meanwhile: from a line between both ends, and from one of the usual flow (assumed).
BETWEEN_SHARE, STRAYS_SHARE = 0.05, 0.2


@dataclass(frozen=True, slots=True)
class Restamped:
    """Improved stamps with their variances."""

    times_s: Array
    vars_s2: Array
    kept: NDArray[np.bool_]
    """Whether a reading could be placed, as a mask; the others are to be left out."""


def restamped(stamps_s: Array, arrivals_s: Array, grams: Array, noise_var: float) -> Restamped:
    """Return improved stamps, or the given ones where arrivals do not improve them. All share one
    constant delay with the given ones, which cannot be seen."""
    count = len(stamps_s)
    stamps_s = _moved(stamps_s, arrivals_s)
    wander_s2, wanders = _wander(stamps_s, arrivals_s)
    if not wanders and not _arrivals_say_more(stamps_s, arrivals_s):
        return Restamped(stamps_s, np.full(count, wander_s2), np.ones(count, dtype=bool))
    delay_s = float(np.median(arrivals_s - stamps_s))
    parts = []
    for first in range(0, count, CHUNK):
        # The rest of a chunk goes with the last one.
        last = count if first + 2 * CHUNK > count else first + CHUNK
        some = slice(first, last)
        found = _placed_anew(arrivals_s[some], grams[some], noise_var)
        if found is None:
            found = Restamped(
                stamps_s[some], np.full(last - first, wander_s2), np.ones(last - first, dtype=bool)
            )
        else:
            shift_s = float(np.median(arrivals_s[some] - found.times_s)) - delay_s
            found = replace(found, times_s=found.times_s + shift_s)
        parts.append(found)
        if last == count:
            break
    times = np.concatenate([part.times_s for part in parts])
    kept = np.concatenate([part.kept for part in parts])
    newest_s = np.maximum.accumulate(np.where(kept, times, -np.inf))
    rises = np.concatenate([[True], times[1:] > newest_s[:-1]])
    return Restamped(times, np.concatenate([part.vars_s2 for part in parts]), kept & rises)


def _moved(stamps_s: Array, arrivals_s: Array) -> Array:
    """With those moved by a period, into the gap beside them, whose delay cannot be as it seems."""
    if len(stamps_s) < LEAST_READINGS:
        return stamps_s
    delays_s = arrivals_s - stamps_s
    before_s = np.diff(stamps_s, prepend=stamps_s[0])
    after_s = np.diff(stamps_s, append=stamps_s[-1])
    period_s = float(np.median(before_s))
    gap_s = GAP_PERIODS * period_s
    least_s = float(np.quantile(delays_s, LEAST_QUANTILE))
    early = delays_s < least_s - max(EARLY_SHARE * period_s, EARLY_S)
    late = delays_s > float(np.median(delays_s)) + LATE_SHARE * period_s
    back, on = early & (before_s > gap_s), late & (after_s > gap_s)
    if _first_of_bunches(arrivals_s) is not None:
        on[:] = False
    moved: Array = stamps_s + period_s * (on.astype(float) - back.astype(float))
    return moved


def _wander(stamps_s: Array, arrivals_s: Array) -> tuple[float, bool]:
    """Variance of the stamps against arrivals over blocks, less what delays make of it, and whether
    the stamps are wrong."""
    if len(stamps_s) < LEAST_READINGS:
        return 0.0, False
    off_s, block = arrivals_s - stamps_s, BLOCK
    first = _first_of_bunches(arrivals_s)
    if first is not None:
        # The last of a bunch waited for none.
        off_s, block = off_s[np.append(np.flatnonzero(first)[1:] - 1, -1)], BUNCHES
    blocks = off_s[: len(off_s) // block * block].reshape(-1, block)
    if len(blocks) < LEAST_BLOCKS:
        return 0.0, False
    medians = np.median(blocks, axis=1)
    within_s = 1.25 * float(np.median(blocks.std(axis=1))) / math.sqrt(block)
    least_s = WANDERS_SHARE * float(np.median(np.diff(stamps_s)))
    wander_s2 = max(float(medians.var()) - within_s**2, 0.0)
    return wander_s2, float(medians.std()) > WANDERS_SIGMAS * within_s + least_s


def _arrivals_say_more(stamps_s: Array, arrivals_s: Array) -> bool:
    """Whether stamps lie all over, and arrivals do not, or are those, however late these come; or
    readings come in bunches: which of them are lost is seen best from all."""
    if len(stamps_s) < LEAST_READINGS:
        return False
    if _first_of_bunches(arrivals_s) is not None:
        return True
    steps, off_s = np.diff(arrivals_s), arrivals_s - stamps_s
    if float(np.median(np.abs(off_s))) < AS_CAME_S:
        return _delay_var(steps) > AT_ONCE_S**2
    period_s = float(np.median(steps))
    if float(np.std(off_s)) < STRAYS_FROM * period_s:
        return False
    beats = steps / period_s
    return float(np.mean(np.abs(beats - np.round(beats)))) < ON_BEAT_SHARE


def _placed_anew(arrivals_s: Array, grams: Array, noise_var: float) -> Restamped | None:
    """None where bunches are too irregular to take apart."""
    first = _first_of_bunches(arrivals_s)
    if first is None:
        return _single(arrivals_s)
    found = _bunched(arrivals_s, first, grams, noise_var)
    return found if np.mean(found.kept) >= LEAST_PLACED else None


def _first_of_bunches(arrivals_s: Array) -> NDArray[np.bool_] | None:
    """Which begin a bunch; None where readings come one by one."""
    mean_step_s = (arrivals_s[-1] - arrivals_s[0]) / (len(arrivals_s) - 1)
    first = np.concatenate([[True], np.diff(arrivals_s) > BUNCH_SHARE * mean_step_s])
    return first if np.mean(~first) > BUNCHED_FROM else None


def _single(arrivals_s: Array) -> Restamped:
    steps_s = np.diff(arrivals_s)
    usual_s = float(np.median(steps_s))
    lattice = _lattice(arrivals_s, usual_s)
    kept = np.ones(len(arrivals_s), dtype=bool)
    if lattice is not None:
        period_s, phase_s = lattice
        late_s = (arrivals_s - phase_s + 0.5 * period_s) % period_s - 0.5 * period_s
        least_s = phase_s + float(np.quantile(late_s, LEAST_QUANTILE)) - EARLY_SHARE * period_s
        places = np.floor((arrivals_s - least_s) / period_s)
        shared = np.concatenate([[False], np.diff(places) < 1.0])
        if np.mean(shared) <= MOST_SHARED:
            delay_s = float(np.mean(arrivals_s - places * period_s - least_s))
            # A delay of more than a period puts a reading one place late.
            late = math.exp(-period_s / max(delay_s - EARLY_SHARE * period_s, 1e-4))
            variance = late * period_s**2
            times = least_s + delay_s + places * period_s
            return Restamped(times, np.full(len(times), variance), ~shared)
    # No beat to be seen under the delays: arrivals as they are, off by their delays.
    kept[1:] = steps_s > 0.0
    return Restamped(arrivals_s, np.full(len(arrivals_s), _delay_var(steps_s)), kept)


def _delay_var(steps_s: Array) -> float:
    """Variance of the delays: as much as one lengthens a step it shortens the next, where a reading
    lost or a scale that weighs unevenly does not."""
    usual = steps_s < LATE_STEPS * float(np.median(steps_s))
    pairs = usual[:-1] & usual[1:]
    off_s = steps_s - float(np.mean(steps_s[usual]))
    return max(-float(np.mean((off_s[:-1] * off_s[1:])[pairs])), 0.0) if pairs.any() else 0.0


def _lattice(arrivals_s: Array, about_s: float) -> tuple[float, float] | None:
    """Period and phase; None where none stands out."""
    lasts_s = float(arrivals_s[-1] - arrivals_s[0])
    if about_s <= 0.0 or lasts_s <= 0.0:
        return None
    # So fine that the last arrival turns by less than a quarter between two tries.
    tries = min(int(8.0 * TRIED_SHARE * lasts_s / about_s) + 3, 2000)
    rates = np.linspace(1.0 - TRIED_SHARE, 1.0 + TRIED_SHARE, tries) / about_s
    turns = np.exp(2j * np.pi * np.outer(rates, arrivals_s - arrivals_s[0])).mean(axis=1)
    best = int(np.argmax(np.abs(turns)))
    if abs(turns[best]) < SEEN_FROM:
        return None
    period_s = 1.0 / float(rates[best])
    return period_s, float(arrivals_s[0] + np.angle(turns[best]) / (2.0 * np.pi) * period_s)


def _bunched(
    arrivals_s: Array, first: NDArray[np.bool_], grams: Array, noise_var: float
) -> Restamped:
    starts = np.flatnonzero(first)
    sizes = np.diff(np.append(starts, len(arrivals_s)))
    shares = np.bincount(sizes) / len(sizes)
    whole = min(int(np.flatnonzero(shares >= WHOLE_FROM)[-1]), MOST_IN_BUNCH)
    bunches_s = arrivals_s[starts]
    usual_s = float(np.median(np.diff(bunches_s)))
    fine = _lattice(bunches_s, usual_s / whole)
    rough = fine or _lattice(bunches_s, usual_s)
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
    return Restamped(times, variances, kept)


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
