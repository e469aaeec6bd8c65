"""When the readings of a pour were weighed, from all of their arrivals at once.

A clock that follows arrivals as they come has to guess at once how many readings were lost before
each. In hindsight the beat of the scale shows, or that of the bunches that its readings come in.
"""

import math
from dataclasses import replace

import numpy as np

from pourcoach.domain.slices import Slices
from pourcoach.estimation.noise.whitening import Array
from pourcoach.estimation.stamps.beat import (
    AT_ONCE_S,
    LEAST_QUANTILE,
    beat_of,
    placed_on,
    waits,
)
from pourcoach.estimation.stamps.bunches import GAP_PERIODS, first_of_bunches, placed_in_bunches
from pourcoach.estimation.stamps.restamped import Restamped

# Fewer readings show no beat; so many are looked at at a time, for a crystal drifts.
LEAST_READINGS = 24
CHUNK = 800
# Stamps are right where, over blocks of so many readings or bunches, their distance from arrivals
# wanders no more than this: the standard error of a block's median, or a share of the period.
BLOCK = 12
BUNCHES = 3
LEAST_BLOCKS = 2
WANDERS_SIGMAS = 2.0
WANDERS_SHARE = 0.08
# Periods are tried from the first to the second share of the usual step. Of arrivals without a beat
# one of the tries stands out by this many nats in one pour of a thousand (Rayleigh's test;
# Mardia & Jupp 2000, "Directional Statistics", chapter 6).
TRIED_FROM, TRIED_TO = 0.7, 1.4
BY_CHANCE = 7.0
# No reading comes before it is weighed: where its delay is below the least by more than that share
# of the period and by more than this, it was late, and was stamped as if one had been lost before
# it. Where a reading seems late by more than the last share of the period and a gap follows, it
# belongs into that.
EARLY_SHARE = 0.15
EARLY_S = 0.008
LATE_SHARE = 0.6
# A clock that has not found the period yet gives stamps that lie all over: off their arrivals by
# more than the first of these shares of the period, while intervals lie on whole periods within the
# second on average (spread evenly they would lie off by a quarter).
STRAYS_FROM, ON_BEAT_SHARE = 0.2, 0.1
# A clock that goes by arrivals gives stamps no further from them, and it did where such a share is;
# and longer steps than so many times the median are no delays.
AS_CAME_S, AS_CAME_FROM = 1e-4, 0.2
LATE_STEPS = 3.0
# Where more than this share comes at once with the one before, readings wait for one another.
FEW_WAIT = 0.05


def restamped(
    stamps_s: Array, arrivals_s: Array, grams: Array, noise_var: float
) -> Slices[Restamped]:
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
        found = yield from _placed_anew(arrivals_s[some], grams[some], noise_var)
        if found is None:
            as_came = _as_came(stamps_s[some], arrivals_s[some])
            var_s2 = _delay_var(arrivals_s[some]) if as_came else wander_s2
            size = last - first
            found = Restamped(stamps_s[some], np.full(size, var_s2), np.ones(size, dtype=bool))
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
    if first_of_bunches(arrivals_s) is not None:
        on[:] = False
    moved: Array = stamps_s + period_s * (on.astype(float) - back.astype(float))
    return moved


def _wander(stamps_s: Array, arrivals_s: Array) -> tuple[float, bool]:
    """Variance of the stamps against arrivals over blocks, less what delays make of it, and whether
    the stamps are wrong."""
    if len(stamps_s) < LEAST_READINGS:
        return 0.0, False
    off_s, block = arrivals_s - stamps_s, BLOCK
    first = first_of_bunches(arrivals_s)
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
    if first_of_bunches(arrivals_s) is not None:
        return True
    if _as_came(stamps_s, arrivals_s):
        return _delay_var(arrivals_s) > AT_ONCE_S**2
    steps, off_s = np.diff(arrivals_s), arrivals_s - stamps_s
    period_s = float(np.median(steps))
    if float(np.std(off_s)) < STRAYS_FROM * period_s:
        return False
    beats = steps / period_s
    return float(np.mean(np.abs(beats - np.round(beats)))) < ON_BEAT_SHARE


def _as_came(stamps_s: Array, arrivals_s: Array) -> bool:
    return float(np.mean(np.abs(arrivals_s - stamps_s) < AS_CAME_S)) > AS_CAME_FROM


def _placed_anew(arrivals_s: Array, grams: Array, noise_var: float) -> Slices[Restamped | None]:
    """None where neither a beat nor whole bunches are to be seen."""
    first, found = first_of_bunches(arrivals_s), None
    if first is not None:
        yield
        found = placed_in_bunches(arrivals_s, first, grams, noise_var)
        if found is not None:
            return found
    # Delays longer than a period make bunches, too, of any size; most steps are waits then.
    steps_s = np.diff(arrivals_s)
    usual_s = float(np.median(steps_s) if first is None else np.mean(steps_s))
    # Those that waited for one another would count as so many of the same phase.
    alone_s = arrivals_s[~waits(arrivals_s)]
    beat = beat_of(alone_s, usual_s, TRIED_FROM, TRIED_TO)
    if beat is not None and len(alone_s) * beat.resultant**2 > math.log(beat.tried) + BY_CHANCE:
        yield
        found = yield from placed_on(beat, arrivals_s)
    if found is None and first is None:
        # Arrivals as they are, off by their delays.
        kept = np.append(True, steps_s > 0.0)
        found = Restamped(arrivals_s, np.full(len(arrivals_s), _delay_var(arrivals_s)), kept)
    return found


def _delay_var(arrivals_s: Array) -> float:
    """Variance of the delays of readings whose beat they hide."""
    steps_s = np.diff(arrivals_s)
    if float(np.mean(waits(arrivals_s))) > FEW_WAIT:
        # Where readings wait for one another a delay lasts from one to the next: from a straight
        # line over a block, most of which lose none.
        blocks = arrivals_s[: len(arrivals_s) // BLOCK * BLOCK].reshape(-1, BLOCK)
        along = np.arange(BLOCK) - 0.5 * (BLOCK - 1)
        slopes = blocks @ along / (along @ along)
        off_s = blocks - blocks.mean(axis=1, keepdims=True) - np.outer(slopes, along)
        return float(np.median(np.sum(off_s * off_s, axis=1))) / (BLOCK - 2)
    # As much as one lengthens a step it shortens the next, where a reading lost or a scale that
    # weighs unevenly does not.
    usual = steps_s < LATE_STEPS * float(np.median(steps_s))
    pairs = usual[:-1] & usual[1:]
    off_s = steps_s - float(np.mean(steps_s[usual]))
    return max(-float(np.mean((off_s[:-1] * off_s[1:])[pairs])), 0.0) if pairs.any() else 0.0
