"""A reading lost or sent twice, recognised by arrivals alone."""

import math

from pourcoach.domain.units import Seconds
from pourcoach.estimation.stamps.arrival_line import LEAST_PERIOD_S, LEAST_READINGS, ArrivalLine
from pourcoach.estimation.stamps.delay_floor import DelayFloor

# An arrival this late is a loss or a pause, whatever the jitter: unless the readings since the last
# pause, so many at least, came all at once, as all have so far, and that one was no shorter than
# this one by such a share. Then readings wait for one another.
PAUSE_S = 1.0
LEAST_WAITING = 3
AT_ONCE_S = 0.1
LONGER_SHARE = 1.5
# Arrivals late by this share of a period speak for a loss: where delays are exponential with mean
# m, each is ``exp(share · period / m)`` times as likely after one. As logarithms: from the first on
# a loss, taken to be a hundred times rarer than readings, is as likely as not; from the second on
# it is reported (weighed up on simulated jitter: reported sooner, delays pass for losses).
LATE_SHARE = 0.8
DOUBT = 4.6
CERTAIN = 8.0
# Where one arrival says less than this, delays that hang together would pass for losses; and where
# a radio has been seen to hold readings back until its next burst, none says enough alone.
LEAST_EVIDENCE = 1.7
MOST_EVIDENCE = 5.0
# Before an arrival later than this many periods, and than jitter makes any, others were lost, or it
# was held up with others that come at its heels, a share of a period after one another: the next
# two decide, where jitter is a smaller share and brings none to another's heels.
HELD_PERIODS = 2.5
HELD_EXCESSES = 8.0
BURST_SHARE = 0.5
CALM_SHARE = 0.25
# The line is settled after so many readings, and when its own doubt, 2 spread / √count, is a third
# of a period; where there is hardly any jitter, after a time in which a burst is no period.
LEAST_SURE = 30
SURE = 6.0
SURE_FROM_S = 0.6
# All of a block of arrivals is off by one from this share of a period on, and by so many times what
# the least delays wander by themselves.
OFF_SHARE = 0.6
WANDERS = 4.0


class WaitWatch:
    """Whether readings wait for one another for longer than a pause, by when they arrive.

    One that comes by itself, however long ago, shows that they do not: then it is packets that are
    lost.
    """

    __slots__ = ("_apart", "_paused_s", "_since_pause", "waits")

    def __init__(self) -> None:
        self._paused_s = 0.0
        self._since_pause = 0
        self._apart = False
        self.waits = False

    def see(self, since_s: Seconds) -> bool:
        """Take an arrival, so long after the last; return whether it waited for others, or others
        for it, as those before it did."""
        self._since_pause += 1
        if PAUSE_S < since_s < math.inf:
            alike = self._since_pause > LEAST_WAITING and since_s < LONGER_SHARE * self._paused_s
            self.waits = alike and not self._apart
            self._paused_s, self._since_pause = since_s, 0
        elif AT_ONCE_S < since_s <= PAUSE_S:
            self._apart = True
        return self.waits


class MiscountWatch:
    """Corrects the line by whole periods: forward after a lost reading, back after one that came
    twice."""

    __slots__ = (
        "_arrival_s",
        "_burst_count",
        "_floor",
        "_least_s",
        "_line",
        "_log_odds",
        "_waits",
        "held",
    )

    def __init__(self, line: ArrivalLine, floor: DelayFloor) -> None:
        self._line, self._floor = line, floor
        self._arrival_s = -math.inf
        self._log_odds = 0.0
        self._least_s = 0.0
        self._burst_count = 0
        self._waits = WaitWatch()
        self.held = False
        """Whether the newest arrival was held up, as far as can be determined. Then it says nothing
        about the usual delay."""

    def see(self, arrival_s: Seconds, above_s: Seconds) -> bool:
        """Judge a single arrival that is ``above_s`` later than the least delay would make it.

        Returns True if it is in doubt: the reading may as well have been weighed one period later.
        """
        period_s = self._line.period_s
        since_s, self._arrival_s = arrival_s - self._arrival_s, arrival_s
        was_held, self.held = self.held, False
        waits = self._waits.see(since_s)
        burst, self._burst_count = self._burst_count, 0
        if -OFF_SHARE * period_s < above_s < LATE_SHARE * period_s:
            self._log_odds = 0.0
            return False
        if self._line.count >= LEAST_READINGS:
            if was_held and since_s < BURST_SHARE * period_s:
                self.held, self._burst_count = True, burst + 1
                return burst == 0
            excess_s = self._floor.mean_excess_s
            held_s = HELD_PERIODS * period_s + HELD_EXCESSES * excess_s
            calm = excess_s < CALM_SHARE * period_s
            if calm and above_s > held_s and self._log_odds == 0.0:
                self.held = True
                self._log_odds, self._least_s = DOUBT, above_s
                return True
            if waits:
                return False
            if above_s > PAUSE_S:
                self._mend(arrival_s, above_s)
            elif above_s > 0.0:
                return self._late(arrival_s, above_s)
            elif above_s < -OFF_SHARE * period_s - WANDERS * self._floor.wander_s and self._settled(
                self._evidence()
            ):
                self._mend(arrival_s, above_s)
        return False

    def pass_over(self, arrival_s: Seconds) -> None:
        """Take an arrival that is counted otherwise: the next is no pause after it."""
        self._arrival_s = arrival_s

    @property
    def waits(self) -> bool:
        """Whether readings wait for one another for longer than a pause."""
        return self._waits.waits

    def _late(self, arrival_s: Seconds, above_s: Seconds) -> bool:
        evidence = self._evidence()
        if evidence < LEAST_EVIDENCE or not self._settled(evidence):
            self._log_odds = 0.0
            return False
        self._least_s = above_s if self._log_odds == 0.0 else min(self._least_s, above_s)
        self._log_odds += min(evidence, MOST_EVIDENCE) if self._floor.jumps else evidence
        if self._log_odds >= CERTAIN:
            self._mend(arrival_s, self._least_s)
        return self._log_odds > DOUBT

    def _evidence(self) -> float:
        """How much a single late arrival speaks for a loss."""
        excess_s = self._floor.mean_excess_s
        period_s = max(self._line.period_s, LEAST_PERIOD_S)
        return LATE_SHARE * period_s / excess_s if excess_s > 0.0 else math.inf

    def _settled(self, evidence: float) -> bool:
        """Whether the line is known well enough by now."""
        line = self._line
        if evidence > CERTAIN:
            return line.lasted_s > SURE_FROM_S
        return (
            line.count > LEAST_SURE and line.count * evidence * evidence > (SURE * LATE_SHARE) ** 2
        )

    def mend(self, arrival_s: Seconds, least_s: Seconds) -> bool:
        """Judge the least delay of a block; return whether the count was wrong and has been
        corrected."""
        period_s = max(self._line.period_s, LEAST_PERIOD_S)
        off_s = least_s - self._floor.floor_s
        doubt_s = OFF_SHARE * period_s + WANDERS * self._floor.wander_s
        if abs(off_s) <= doubt_s or not self._settled(self._evidence()):
            return False
        self._mend(arrival_s, off_s)
        return True

    def _mend(self, arrival_s: Seconds, by_s: Seconds) -> None:
        self._log_odds = 0.0
        self._floor.recounted(arrival_s, self._line.skip(by_s))
