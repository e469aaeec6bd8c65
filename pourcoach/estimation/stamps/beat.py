"""Whether a scale weighs at a steady beat, told from when its readings arrive."""

from collections import deque
from statistics import fmean, median

from pourcoach.domain.units import Seconds

# Judged anew after so many intervals, from the newest so many.
EVERY = 64
KEPT = 192
# Intervals from and to these shares of the median are the beat; others are losses and bursts.
LEAST_SHARE, MOST_SHARE = 0.4, 1.6
# Where fewer than this share of all are, arrivals are too wild to tell.
BEATS_SHARE = 0.9
# So many in a row are taken together, and there must be so many such runs.
TOGETHER = 16
LEAST_RUNS = 48
# An uneven beat strays by more than this share of the interval, or it is not worth telling.
STRAYS_SHARE = 0.08
# Between the ratio of a steady beat that arrives late now and then and that of an uneven one:
# 1/16 and 1 where the delays, or the intervals, know nothing of each other.
UNEVEN_RATIO = 0.6
STEADY_RATIO = 0.3


class BeatWatch:
    """Looks at arrivals, each of which may be late.

    A late arrival lengthens one interval and shortens the next by as much, so that many intervals
    together stray no further than one does; where the beat itself is uneven, the variance of their
    sum grows with their number (a random walk).
    """

    __slots__ = ("_arrival_s", "_intervals_s", "_seen", "steady")

    def __init__(self) -> None:
        self._arrival_s: Seconds | None = None
        self._intervals_s: deque[Seconds] = deque(maxlen=KEPT)
        self._seen = 0
        self.steady = True
        """Whether readings are taken to be weighed at a steady rate; so until shown otherwise."""

    def see(self, arrival_s: Seconds) -> None:
        """Take the arrival of the next reading."""
        if self._arrival_s is not None:
            self._intervals_s.append(arrival_s - self._arrival_s)
            self._seen += 1
            if self._seen % EVERY == 0:
                self._judge()
        self._arrival_s = arrival_s

    def _judge(self) -> None:
        usual_s = median(self._intervals_s)
        least_s, most_s = LEAST_SHARE * usual_s, MOST_SHARE * usual_s
        beats: list[Seconds] = []
        runs: list[Seconds] = []
        row: deque[Seconds] = deque(maxlen=TOGETHER)
        for interval_s in self._intervals_s:
            if not least_s <= interval_s <= most_s:
                row.clear()
                continue
            beats.append(interval_s)
            row.append(interval_s)
            if len(row) == TOGETHER:
                runs.append(sum(row))
        if len(beats) < BEATS_SHARE * len(self._intervals_s):
            self.steady = True
            return
        if len(runs) < LEAST_RUNS:
            return
        mean_s = fmean(beats)
        alone = fmean((beat_s - mean_s) ** 2 for beat_s in beats)
        if alone <= (STRAYS_SHARE * mean_s) ** 2:
            self.steady = True
            return
        together = fmean((run_s - TOGETHER * mean_s) ** 2 for run_s in runs)
        ratio = together / (TOGETHER * alone)
        if ratio > UNEVEN_RATIO:
            self.steady = False
        elif ratio < STEADY_RATIO:
            self.steady = True
