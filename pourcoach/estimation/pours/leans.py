"""A hand that leans on the platform while water runs, and lets go again.

What it adds to the weight it takes away again, so that readings cannot distinguish it from water
that runs faster for some seconds and then slower, by as much. Where a pour is even but for that,
the readings do not say which it was. A hand that heeds the words pours so, too, and is far more
usual than one that leans: what decides is whether hands pour as unevenly as that at all.
"""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pourcoach.domain.units import Seconds
from pourcoach.estimation.noise.whitening import Array
from pourcoach.estimation.pours.flow_evidence import Stretch

# The flow is evaluated this often.
STEP_S = 0.08
# How long a lean may last (assumed), tried at moments so far apart: of 384 simulated ones 354
# to 358 are found from 0.16 s to 0.8 s apart.
LASTS_S = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
APART_S = 0.4
# So many in one pour are looked for, and so much of it has to be left.
MOST_LEANS = 4
LEAST_LEFT_S, LEAST_LEFT = 3.0, 0.3
# It comes back if the mean flow over it is that of the rest within this share. It stands out if the
# flow in it spreads so many times as much as in the rest, and what it brought lies nearly always
# on the same side. Simulated leans do in four of ten pours, and so do hands that heed the words.
BACK_SHARE = 0.15
STANDS_OUT = 1.7
SAME_SIDE = 0.8
# Where its flow spreads over so much of the mean, either is as likely: none of 60 pours of
# simulated hands that heed the words reached that, and four in ten reached 0.2. Where it spreads
# less, one in ten is taken to be a lean (assumed), and the figure to be off as often.
BEYOND_HANDS = 0.45
SELDOM = 0.1
# The rest is as even as this, and is by this factor more even than the whole.
MOST_REST = 0.14
MORE_EVEN = 0.6
# A median deviation of normal deviates is so many of their standard deviations.
MEDIAN_DEVIATION = 0.6745
# Of the windows that may hold one, so many are looked at closely: those of the largest spread.
LOOKED_AT = 12


class Leaned(NamedTuple):
    """A pour without what may be leans."""

    rest_cv: float
    """Coefficient of variation of the flow."""
    as_likely: bool
    """Whether it is as likely a lean as the hand that pours."""

    def error(self, flow_cv: float) -> float:
        """What the doubt adds to the error of the whole pour's figure, as one standard
        deviation."""
        share = 1.0 if self.as_likely else math.sqrt(SELDOM * (1.0 - SELDOM))
        return share * abs(flow_cv - self.rest_cv)


def without_leans(stretches: Sequence[Stretch], judged_s: tuple[Seconds, Seconds]) -> Leaned | None:
    """The flow between two moments with what may be leans left out; None where there is none, or
    where the rest is uneven too."""
    times_s = np.arange(*judged_s, STEP_S)
    flows = np.concatenate([one.flow_between(times_s) for one in stretches])
    left = np.ones(len(flows), dtype=bool)
    leans: list[slice] = []
    while len(leans) < MOST_LEANS:
        lean = _lean(flows, left)
        if lean is None:
            break
        leans.append(lean)
        left[lean] = False
    if not leans:
        return None
    rest = _evenness(flows[left])
    if rest >= min(MOST_REST, MORE_EVEN * _evenness(flows)):
        return None
    usual = float(flows[left].mean())
    return Leaned(rest, any(flows[lean].std() >= BEYOND_HANDS * usual for lean in leans))


def _evenness(flows: Array) -> float:
    return float(flows.std() / flows.mean())


def _lean(flows: Array, left: NDArray[np.bool_]) -> slice | None:
    """The one that stands out most, among what is left."""
    for window in _windows(flows, left):
        rest = left.copy()
        rest[window] = False
        usual = float(np.median(flows[rest]))
        spread = float(np.median(np.abs(flows[rest] - usual))) / MEDIAN_DEVIATION
        inside = flows[window]
        mean = float(inside.mean())
        if abs(mean - usual) > BACK_SHARE * usual or inside.std() < STANDS_OUT * spread:
            continue
        off = np.cumsum(inside - mean)
        if abs(off.mean()) >= SAME_SIDE * np.abs(off).mean():
            return window
    return None


def _windows(flows: Array, left: NDArray[np.bool_]) -> Iterator[slice]:
    """Where one may lie, from the largest spread down."""
    taken = np.concatenate([[0], np.cumsum(~left)])
    sums = np.concatenate([[0.0], np.cumsum(flows)])
    squares = np.concatenate([[0.0], np.cumsum(flows * flows)])
    usual = float(np.median(flows[left]))
    found: list[tuple[float, int, int]] = []
    for lasts_s in LASTS_S:
        count = round(lasts_s / STEP_S)
        if np.count_nonzero(left) - count < max(LEAST_LEFT_S / STEP_S, LEAST_LEFT * len(flows)):
            break
        firsts = np.arange(0, len(flows) - count + 1, max(round(APART_S / STEP_S), 1))
        means = (sums[firsts + count] - sums[firsts]) / count
        spreads = squares[firsts + count] - squares[firsts] - count * means * means
        free = (taken[firsts + count] == taken[firsts]) & (
            np.abs(means - usual) <= 2.0 * BACK_SHARE * usual
        )
        found += [
            (spread, first, count)
            for spread, first in zip(spreads[free].tolist(), firsts[free].tolist(), strict=True)
        ]
    found.sort(reverse=True)
    for _, first, count in found[:LOOKED_AT]:
        yield slice(first, first + count)
