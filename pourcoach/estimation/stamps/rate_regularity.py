"""Whether a scale weighs at a steady rate, estimated from when its readings arrive."""

import math
from bisect import bisect_left, bisect_right
from collections import deque
from collections.abc import Sequence
from itertools import accumulate
from statistics import fmean, linear_regression, median

from pourcoach.domain.units import Seconds

# Judged anew after so many intervals, from the newest so many; and sooner at first, for water may
# run two seconds after the first reading.
EVERY = 64
SOONER = (16, 32)
KEPT = 192
# Intervals from and to these shares of the median are the beat; others are losses and bursts.
LEAST_SHARE, MOST_SHARE = 0.4, 1.6
# Where fewer than this share of all are, arrivals are too irregular to judge.
BEATS_SHARE = 0.9
# Where readings are lost one interval is several beats. The median is one beat if this share of all
# are about as long, and no more than this one much shorter, as bursts make them.
ALIKE_SHARE, SHORT_SHARE = 0.5, 0.15
# Losses are counted where intervals lie on whole beats, so far off on average: spread evenly they
# would lie off by a quarter. If that is less than the second share, so many losses are enough;
# jitter that makes it more makes some losses of its own, so there must be the more of them, and
# delays of a third of a period pass for them once in sixteen while few intervals are known. Once
# counted they are for longer, for where few are expected each costs several readings. Nearer to
# whole beats than the second share they show the period, too, though hardly any is lost.
LEAST_LOST, ON_BEAT_SHARE = 2, 0.1
LOST_SHARE, OFF_BEAT_SHARE, OFF_BEAT_EARLY_SHARE = 0.06, 0.18, 0.12
STILL_LOST_SHARE, STILL_OFF_BEAT_SHARE = 0.03, 0.195
# They are known of, whether they can be counted or not, from a share of so much over the root of
# how many intervals are known: delays of 0.45 periods without a loss hardly ever make as much
# (simulated).
SURELY_LOST = 1.3
# Where many readings are lost, a period off by more than this share was reported before it was
# known.
LOSSY_WRONG_SHARE = 0.03
# Where few are, one off by less than this share is right: a line through the first few arrivals is
# off by half of it where they come late by up to an eighth of a period. How late they are is
# averaged over so many.
WRONG_SHARE = 0.0025
FOLLOWS = 16
# So many in a row are taken together, and there must be so many such runs.
TOGETHER = 16
LEAST_RUNS = 48
# An uneven beat strays by more than this share of the interval, or it is not worth reporting.
STRAYS_SHARE = 0.08
# Between the ratio of a steady beat that arrives late now and then and that of an uneven one:
# 1/16 and 1 where the delays, or the intervals, know nothing of each other.
UNEVEN_RATIO = 0.6
STEADY_RATIO = 0.3


class RateRegularity:
    """Judges the intervals between arrivals, each of which may be late.

    A late arrival lengthens one interval and shortens the next by as much, so that the sum of many
    intervals varies no more than one of them; where the rate itself is uneven, the variance of the
    sum grows with their number (a random walk).
    """

    __slots__ = (
        "_arrival_s",
        "_beat_s",
        "_confirmed_s",
        "_intervals_s",
        "_seen",
        "lossy_s",
        "steady",
        "uncountable",
    )

    def __init__(self) -> None:
        self._arrival_s: Seconds | None = None
        self._intervals_s: deque[Seconds] = deque(maxlen=KEPT)
        self._seen = 0
        self._confirmed_s = math.inf
        """The period that as many intervals as are kept have once been fitted with."""
        self.steady = True
        """Whether readings are taken to be weighed at a steady rate; True until shown otherwise."""
        self.lossy_s: Seconds | None = None
        """The period, where so many readings are lost that each interval must be counted in whole
        periods; None where hardly any is, or where arrivals do not show it."""
        self._beat_s: Seconds | None = None
        """About the period, with what little may be lost counted in; None where none may be, or
        where too many intervals lie between two beats."""
        self.uncountable = False
        """Whether readings are lost and arrivals do not show how many."""

    def see(self, arrival_s: Seconds) -> bool:
        """Take the arrival of the next reading; return whether the rate was judged again."""
        if self._arrival_s is not None:
            self._intervals_s.append(arrival_s - self._arrival_s)
            self._seen += 1
        self._arrival_s = arrival_s
        if self._seen not in SOONER and (self._seen == 0 or self._seen % EVERY):
            return False
        self._judge()
        return True

    def better_s(self, period_s: Seconds) -> Seconds:
        """Return the period that arrivals show, or this one if it is as near: what was lost may
        have been counted into it."""
        if self.lossy_s is not None:
            near = abs(period_s / self.lossy_s - 1.0) <= LOSSY_WRONG_SHARE
            return period_s if near else self.lossy_s
        beat_s = self._beat_s
        if beat_s is None or _alike(period_s, beat_s) or _alike(period_s, self._confirmed_s):
            return period_s
        _, fitted_s = min(self._fitted(period_s), self._fitted(beat_s))
        if len(self._intervals_s) == KEPT:
            self._confirmed_s = fitted_s
        return period_s if _alike(period_s, fitted_s) else fitted_s

    def _fitted(self, about_s: Seconds) -> tuple[float, Seconds]:
        """How much arrivals scatter, in s², about a period near this one, and that period. Each is
        counted by how far it lies from where those before it put it: one that comes late is counted
        once, and not by both of its intervals."""
        passed_s = late_s = 0.0
        counts, times_s = [0], [0.0]
        for interval_s in self._intervals_s:
            passed_s += interval_s
            count = round((passed_s - late_s) / about_s)
            late_s += (passed_s - count * about_s - late_s) / FOLLOWS
            counts.append(count)
            times_s.append(passed_s)
        period_s, begun_s = linear_regression(counts, times_s)
        scattered = [
            (time_s - begun_s - count * period_s) ** 2
            for count, time_s in zip(counts, times_s, strict=True)
        ]
        return fmean(scattered), period_s

    def _judge(self) -> None:
        intervals_s = list(self._intervals_s)
        in_order_s = sorted(intervals_s)
        usual_s = median(in_order_s)
        least_s, most_s = LEAST_SHARE * usual_s, MOST_SHARE * usual_s
        short, upto = bisect_left(in_order_s, least_s), bisect_right(in_order_s, most_s)
        self._count_losses(intervals_s, in_order_s, usual_s, short, upto)
        beats_s = in_order_s[short:upto]
        if len(beats_s) < BEATS_SHARE * len(intervals_s):
            self.steady = True
            return
        runs = _runs(intervals_s, least_s, most_s)
        if len(runs) < LEAST_RUNS:
            return
        mean_s = fmean(beats_s)
        alone = fmean([(beat_s - mean_s) ** 2 for beat_s in beats_s])
        if alone <= (STRAYS_SHARE * mean_s) ** 2:
            self.steady = True
            return
        arrivals_s = list(accumulate(intervals_s, initial=0.0))
        together = fmean(
            [(arrivals_s[i + TOGETHER] - arrivals_s[i] - TOGETHER * mean_s) ** 2 for i in runs]
        )
        ratio = together / (TOGETHER * alone)
        if ratio > UNEVEN_RATIO:
            self.steady = False
        elif ratio < STEADY_RATIO:
            self.steady = True

    def _count_losses(
        self,
        intervals_s: Sequence[Seconds],
        in_order_s: Sequence[Seconds],
        usual_s: Seconds,
        short: int,
        upto: int,
    ) -> None:
        """Judge whether readings are lost, and whether they can be counted. Of the intervals in
        order of length the first ``short`` are no beats, those from ``upto`` on several."""
        counted = self.lossy_s is not None
        self.lossy_s, self._beat_s, self.uncountable = None, None, False
        if in_order_s[-1] < 1.5 * usual_s:
            return  # None is two beats.
        count, lasted_s = len(intervals_s), sum(intervals_s)
        if usual_s <= 0.0 or usual_s < LEAST_SHARE * lasted_s / count:
            return  # Bursts.
        if short > SHORT_SHARE * count or upto - short < ALIKE_SHARE * count:
            return
        # A late arrival makes as many intervals longer by half a beat as shorter. Whatever is
        # nearer to one beat than that is one.
        low, high = bisect_left(in_order_s, 0.6 * usual_s), bisect_left(in_order_s, 1.4 * usual_s)
        others_s = (*in_order_s[:low], *in_order_s[high:])
        beats = high - low + sum([round(one_s / usual_s) for one_s in others_s])
        lost, period_s = 1.0 - count / beats, lasted_s / beats
        off = fmean([abs(one_s / period_s - round(one_s / period_s)) for one_s in intervals_s])
        most_off = OFF_BEAT_SHARE if count >= EVERY else OFF_BEAT_EARLY_SHARE
        if count >= EVERY and off < OFF_BEAT_SHARE:
            self._beat_s = period_s
        if beats - count >= LEAST_LOST and (
            off < ON_BEAT_SHARE
            or (lost >= LOST_SHARE and off < most_off)
            or (counted and lost >= STILL_LOST_SHARE and off < STILL_OFF_BEAT_SHARE)
        ):
            self.lossy_s = period_s
        else:
            self.uncountable = lost >= SURELY_LOST / math.sqrt(count)


def _alike(one_s: Seconds, other_s: Seconds) -> bool:
    """Whether the one period is right if the other is."""
    return abs(one_s / other_s - 1.0) < WRONG_SHARE


def _runs(intervals_s: Sequence[Seconds], least_s: Seconds, most_s: Seconds) -> Sequence[int]:
    """Where so many neighbours begin that all are beats."""
    if least_s <= min(intervals_s) and max(intervals_s) <= most_s:
        return range(len(intervals_s) - TOGETHER + 1)
    runs: list[int] = []
    in_row = 0
    for place, interval_s in enumerate(intervals_s):
        in_row = in_row + 1 if least_s <= interval_s <= most_s else 0
        if in_row >= TOGETHER:
            runs.append(place - TOGETHER + 1)
    return runs
