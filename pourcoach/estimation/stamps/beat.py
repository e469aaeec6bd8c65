"""The beat of a scale under the delays of its readings.

Arrivals lie on whole multiples of the scale's period, but for their delays: the mean resultant
length of their phases stands out at the right period (Mardia & Jupp 2000, "Directional Statistics",
chapter 2). Which of the periods each was weighed in, and which readings were lost, is then the path
of a hidden Markov chain (Rabiner 1989, Proceedings of the IEEE 77:257): readings come in the order
in which they are weighed, none before it is weighed, and most with little delay.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy import fft
from numpy.typing import NDArray

from pourcoach.domain.slices import Slices
from pourcoach.domain.units import Seconds
from pourcoach.estimation.noise.whitening import Array
from pourcoach.estimation.stamps.restamped import Restamped

# Tries of a period are so fine that the last arrival turns by a sixteenth between two.
BINS_A_PERIOD, PADDED, REFINED = 16, 4, 9
# Delays have their least at this quantile, which of exponential ones is this share of their mean.
LEAST_QUANTILE = 0.05
LEAST_SHARE = -math.log(1.0 - LEAST_QUANTILE)
# A reading before the least delay is off by the scale's own unevenness, a share of the period; no
# smaller delay is believed, either.
EDGE_SHARE, LEAST_DELAY_SHARE = 0.1, 0.05
# Delays so many times their mean are followed, over so many periods at least, and as many more as
# readings wait for one, up to the last value; such a share of the readings is late by anything.
# Where more than the other have no place, readings were not weighed on the beat.
LONGEST_DELAYS, LEAST_PERIODS, MOST_PERIODS = 8.0, 4, 48
LATE_BY_ANYTHING, MOST_ASTRAY = 0.01, 0.02
AT_ONCE_S = 1e-3
"""Readings that come so soon after the one before waited for it."""
# A reading is at least so likely to have been sooner than one that it waited for.
WAITED_LEAST = 1e-3
# Losses before any was seen, and the chance that the next one is lost after one is (assumed).
LOST_SHARE, LEAST_LOST, MOST_LOST = 0.1, 0.01, 0.5
LOST_AFTER_LOST = 0.6
# Rounds in which delays and losses are learnt.
ROUNDS = 3
READINGS_A_SLICE = 200


@dataclass(frozen=True, slots=True)
class Beat:
    """A period that stands out of arrivals."""

    period_s: Seconds
    phase_s: Seconds
    """Where arrivals lie on average."""
    resultant: float
    """Mean resultant length of their phases, 0 to 1."""
    tried: int
    """How many periods were tried that arrivals tell apart."""


def beat_of(
    arrivals_s: Array, about_s: Seconds, least_share: float, most_share: float
) -> Beat | None:
    """Return the period, from ``least_share`` to ``most_share`` of the given one, on which these
    arrivals (n,) lie most nearly; None where there is no such time."""
    since_s = arrivals_s - arrivals_s[0]
    lasts_s = float(since_s[-1])
    if about_s <= 0.0 or lasts_s <= 0.0:
        return None
    bin_s = least_share * about_s / BINS_A_PERIOD
    counts = np.bincount(np.round(since_s / bin_s).astype(np.intp))
    size = 1 << (PADDED * len(counts) - 1).bit_length()
    step = 1.0 / (size * bin_s)
    first = math.ceil(1.0 / (most_share * about_s * step))
    last = math.floor(1.0 / (least_share * about_s * step))
    if last < first:
        return None
    about = (first + int(np.argmax(np.abs(fft.rfft(counts, size)[first : last + 1])))) * step
    rates = about + step * np.linspace(-1.0, 1.0, REFINED)
    turns = np.exp(2j * np.pi * np.outer(rates, since_s)).mean(axis=1)
    best = int(np.argmax(np.abs(turns)))
    period_s = 1.0 / float(rates[best])
    return Beat(
        period_s,
        float(arrivals_s[0] + np.angle(turns[best]) / (2.0 * np.pi) * period_s),
        float(abs(turns[best])),
        max(round((1.0 / least_share - 1.0 / most_share) * lasts_s / about_s), 1),
    )


def waits(arrivals_s: Array) -> NDArray[np.bool_]:
    """Which of the readings (n,) came at once with the one before."""
    at_once: NDArray[np.bool_] = np.diff(arrivals_s, prepend=-math.inf) < AT_ONCE_S
    return at_once


def placed_on(beat: Beat, arrivals_s: Array) -> Slices[Restamped | None]:
    """Return when readings that arrived one by one (n,), in this order, were weighed, but for a
    constant delay; None where they cannot have been weighed on this beat."""
    period_s = beat.period_s
    # Of exponential delays the resultant is 1 / sqrt(1 + w²), and the mean lies atan(w) late.
    turn = math.sqrt(1.0 / min(beat.resultant, 1.0) ** 2 - 1.0)
    delay = max(turn / (2.0 * math.pi), LEAST_DELAY_SHARE)
    arrived = (arrivals_s - beat.phase_s) / period_s + math.atan(turn) / (2.0 * math.pi)
    waited = waits(arrivals_s)
    queues = np.split(np.arange(len(waited)), np.flatnonzero(~waited)[1:])
    # Those of a queue too long to be followed are left out.
    followed = np.concatenate([np.full(len(one), len(one) < MOST_PERIODS) for one in queues])
    longest = max((len(one) for one in queues if len(one) < MOST_PERIODS), default=0)
    arrived, waited = arrived[followed], waited[followed]
    lost_share = LOST_SHARE
    for _ in range(ROUNDS):
        found = yield from _path(arrived, waited, longest, delay, lost_share)
        if found is None:
            return None
        places, variances = found
        delays = (arrived - places)[~waited]
        least = float(np.quantile(delays, LEAST_QUANTILE))
        delay = max((float(np.mean(delays)) - least) / (1.0 - LEAST_SHARE), LEAST_DELAY_SHARE)
        # Delays are counted from where the least of them is nothing.
        arrived = arrived - (least - LEAST_SHARE * delay)
        lost = float(np.mean(np.diff(places) > 1.5))
        lost_share = min(max(lost, LEAST_LOST), MOST_LOST)
    times_s, vars_s2 = arrivals_s.copy(), np.zeros(len(arrivals_s))
    times_s[followed] += (places - arrived + delay) * period_s
    vars_s2[followed] = variances * period_s**2
    return Restamped(times_s, vars_s2, followed)


def _path(
    arrived: Array, waited: NDArray[np.bool_], longest: int, delay: float, lost_share: float
) -> Slices[tuple[Array, Array] | None]:
    """The period that each reading was weighed in, with its variance; all in periods. ``longest``
    is the longest queue of those that wait."""
    count = max(min(int(LONGEST_DELAYS * delay), MOST_PERIODS), longest) + LEAST_PERIODS
    astray = np.zeros(len(arrived), dtype=bool)
    newest = np.floor(arrived + 2.0 * EDGE_SHARE)
    before = np.arange(count)
    delays = (arrived - newest)[:, None] + before
    likely = np.exp(-0.5 * (np.minimum(delays, 0.0) / EDGE_SHARE) ** 2) * (
        np.exp(-np.maximum(delays, 0.0) / delay) + LATE_BY_ANYTHING * delay / count
    )
    sooner = np.maximum(1.0 - np.exp(-np.maximum(delays, 0.0) / delay), WAITED_LEAST)
    likely = np.where(waited[:, None], sooner, likely)
    steps = np.diff(newest).astype(np.intp)
    # By how many periods a reading was weighed after the one before.
    ahead = np.arange(-count, int(steps.max(initial=0)) + count + 1)
    chance = np.where(
        ahead < 1,
        0.0,
        np.where(
            ahead == 1,
            1.0 - lost_share,
            lost_share * (1.0 - LOST_AFTER_LOST) * LOST_AFTER_LOST ** np.maximum(ahead - 2.0, 0.0),
        ),
    )
    turns = before[:, None] - before
    tables = {step: chance[turns + step + count] for step in set(steps.tolist())}
    forward = np.empty_like(likely)
    weights = likely[0]
    forward[0] = weights / weights.sum()
    for i, step in enumerate(steps.tolist(), start=1):
        weights = (forward[i - 1] @ tables[step]) * likely[i]
        whole = float(weights.sum())
        if whole <= 0.0:
            # None of the places before lets it be one; counted anew from here.
            astray[i] = True
            weights, whole = likely[i], float(likely[i].sum())
        forward[i] = weights / whole
        if i % READINGS_A_SLICE == 0:
            yield
    if np.mean(astray) > MOST_ASTRAY:
        return None
    backward = np.ones(count)
    for i, step in zip(range(len(steps) - 1, -1, -1), reversed(steps.tolist()), strict=True):
        backward = np.ones(count) if astray[i + 1] else tables[step] @ (likely[i + 1] * backward)
        backward /= backward.sum()
        forward[i] *= backward
        forward[i] /= forward[i].sum()
        if i % READINGS_A_SLICE == 0:
            yield
    periods = forward @ before
    return newest - periods, forward @ before**2.0 - periods**2
