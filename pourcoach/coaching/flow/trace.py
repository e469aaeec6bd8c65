"""The settled flow of a brew, and the stretches where touches or gaps make it unclear."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent, Settled
from pourcoach.domain.inputs import Input, Reading
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds

BEFORE_S: Seconds = 0.4
"""A touch is noticed a little after it began, and the fixed lag smears it backwards."""
AFTER_S: Seconds = 0.2
"""The estimate needs so long to recover after a touch, and its disturbance is in force for
longer."""
SKIP_S: Seconds = 0.25
"""After a longer time between two settled values the estimate has started again."""
ROSE_SHARE = 0.5
"""The share by which the flow must have risen meanwhile to have risen suddenly."""
FOLLOWS_S: Seconds = 0.4
"""The time that the settled flow takes to follow such a rise."""
REACH_BACK_S: Seconds = 1.0
"""The longest time for which a sudden rise goes unnoticed."""
HOLE_S: Seconds = 0.4
"""With nothing weighed for longer, the flow between is guessed, not measured."""

REST_KEPT_S: Seconds = 600.0
"""How much of a long rest is kept after the water before it, and how much before now. No pause
within a stage is as long (common practice)."""
FORGET_EVERY = 1024
"""Number of values between two times of forgetting, about a minute."""


class Sample(NamedTuple):
    """One settled value."""

    t_s: Seconds
    flow_gps: GramsPerSecond
    error_gps: GramsPerSecond
    since_s: Seconds | None = None
    """When the flow rose, if it rose suddenly and the estimate followed only later; else None."""


@dataclass(slots=True)
class Trace:
    """The settled values of one brew: at most about 20 a second, bounded during a rest."""

    samples: list[Sample] = field(default_factory=list)
    _times: list[Seconds] = field(default_factory=list)
    _unclear: list[tuple[Seconds, Seconds]] = field(default_factory=list)
    _events: tuple[PlatformEvent, ...] = ()
    _handled: list[tuple[Seconds, Seconds]] = field(default_factory=list)
    """Stretches that the events make unclear, replaced when the events change."""
    _reading_s: Seconds | None = None
    _weight: tuple[Seconds, Grams] | None = None
    """Time and weight of the newest settled value."""

    def feed(self, item: Input, estimate: Estimate) -> tuple[Sample, ...]:
        """Take one input and its Estimate; return the settled values that came with it, oldest
        first."""
        samples: tuple[Sample, ...] = ()
        settled = estimate.settled
        if settled is not None:
            if not estimate.late and self._times and 0.0 < settled.t_s - self._times[-1] <= SKIP_S:
                # As with nearly every value: it goes on from the one before.
                samples = (Sample(*_figures(settled)),)
                self._add(samples, settled)
            else:
                samples = self._take((*estimate.late, settled))
            if samples and len(self._times) % FORGET_EVERY < len(samples) and not estimate.pouring:
                last_s = estimate.pours[-1].end_s if estimate.pours else None
                self._forget_rest(samples[-1].t_s, last_s)
        if estimate.events is not self._events:
            self._events = estimate.events
            self._handled = handled(self._events)
        if estimate.disturbance is not None:
            self._mark(item.t_s - BEFORE_S, item.t_s + AFTER_S)
        if isinstance(item, Reading):
            # When it was weighed: readings that arrive in bunches leave no hole in the flow.
            weighed_s, last_s = estimate.t_s, self._reading_s
            if last_s is not None and weighed_s - last_s > HOLE_S:
                self._mark(last_s - BEFORE_S, weighed_s + AFTER_S)
            self._reading_s = weighed_s
        return samples

    def _take(self, values: Iterable[Settled]) -> tuple[Sample, ...]:
        """Take settled values; those not later than all before them are left out."""
        last_s = self._times[-1] if self._times else -inf
        new = [one for one in values if one.t_s > last_s]
        if not new:
            return ()
        since_s = None
        if new[0].t_s - last_s > SKIP_S:
            # The estimate takes a moment to follow a sudden rise.
            near = (one for one in new if one.t_s - new[0].t_s < FOLLOWS_S)
            risen = max(near, key=lambda one: one.flow_gps)
            since_s = self._since_s(risen)
            if since_s is not None:
                self._fill(since_s, Sample(*_figures(risen), since_s))
        samples = tuple(Sample(*_figures(one), since_s) for one in new)
        self._add(samples, new[-1])
        return samples

    def _add(self, samples: Iterable[Sample], newest: Settled) -> None:
        for sample in samples:
            self.append(sample)
        self._weight = newest.t_s, newest.mass_g

    def append(self, sample: Sample) -> None:
        """Take a settled value, later than all before it."""
        self._times.append(sample.t_s)
        self.samples.append(sample)

    def between(self, from_s: Seconds, to_s: Seconds) -> list[Sample]:
        """Return the values of a stretch, unclear ones included."""
        return self.samples[bisect_left(self._times, from_s) : bisect_right(self._times, to_s)]

    def is_clear(self, t_s: Seconds) -> bool:
        """Whether no touch or gap makes the flow at this moment unclear."""
        for start_s, end_s in (*self._unclear, *self._handled):
            if start_s <= t_s <= end_s:
                return False
        return True

    def clear(self, from_s: Seconds, to_s: Seconds) -> list[Sample]:
        """Return the values of a stretch without unclear ones."""
        values = self.between(from_s, to_s)
        for start_s, end_s in (*self._unclear, *self._handled):
            if start_s <= to_s and end_s >= from_s:
                values = [v for v in values if not start_s <= v.t_s <= end_s]
        return values

    def let_go_within(self, from_s: Seconds, to_s: Seconds) -> Seconds | None:
        """Return when a hand that had leaned on the platform had let go, if it began to between
        these moments."""
        return next(
            (
                one.end_s or one.start_s
                for one in self._events
                if one.kind is EventKind.LEAN and from_s <= one.start_s <= to_s
            ),
            None,
        )

    def unseen(self, from_s: Seconds, to_s: Seconds) -> list[tuple[Seconds, Seconds, Grams]]:
        """Return from when to when water came unseen within a stretch, and how much."""
        return [
            (one.start_s, one.end_s, one.change_g)
            for one in self._events
            if one.kind is EventKind.UNSEEN_WATER
            and one.end_s is not None
            and from_s <= one.start_s
            and one.end_s <= to_s
        ]

    def _since_s(self, settled: Settled) -> Seconds | None:
        """When a rise of the flow began that was taken for a touch at first, after values were left
        out: where the line of the weight as it rises now meets the line that it was thought to
        follow."""
        if not self.samples or self._weight is None:
            return None
        before, (before_s, before_g) = self.samples[-1], self._weight
        steeper_gps = settled.flow_gps - before.flow_gps
        if steeper_gps <= ROSE_SHARE * before.flow_gps:
            return None
        thought_g = before_g + before.flow_gps * (settled.t_s - before_s)
        since_s = settled.t_s - (settled.mass_g - thought_g) / steeper_gps
        return since_s if settled.t_s - REACH_BACK_S <= since_s < settled.t_s else None

    def _fill(self, since_s: Seconds, sample: Sample) -> None:
        """Take the flow since then for what it has turned out to be."""
        first = bisect_left(self._times, since_s)
        for place in range(first, len(self.samples)):
            self.samples[place] = sample._replace(t_s=self._times[place])

    def _forget_rest(self, t_s: Seconds, water_s: Seconds | None) -> None:
        """Let go of the midst of a rest that has lasted since the last water at ``water_s``."""
        first = 0 if water_s is None else bisect_left(self._times, water_s + REST_KEPT_S)
        last = bisect_left(self._times, t_s - REST_KEPT_S)
        if last > first:
            del self._times[first:last], self.samples[first:last]

    def _mark(self, start_s: Seconds, end_s: Seconds) -> None:
        if self._unclear and start_s <= self._unclear[-1][1]:
            self._unclear[-1] = (self._unclear[-1][0], max(self._unclear[-1][1], end_s))
        else:
            self._unclear.append((start_s, end_s))


def _figures(settled: Settled) -> tuple[Seconds, GramsPerSecond, GramsPerSecond]:
    return settled.t_s, settled.flow_gps, settled.flow_error_gps


def handled(events: Iterable[PlatformEvent]) -> list[tuple[Seconds, Seconds]]:
    """Return the stretches in which the platform was touched or something was taken off it."""
    found: list[tuple[Seconds, Seconds]] = []
    lifted_s: Seconds | None = None
    for event in events:
        if event.kind in (EventKind.SPIKE, EventKind.SCALE_TARE):
            continue
        start_s = event.start_s
        if event.kind is EventKind.LIFTED:
            lifted_s = start_s
        elif event.kind is EventKind.RETURNED and lifted_s is not None:
            start_s, lifted_s = lifted_s, None
        end_s = start_s if event.end_s is None else event.end_s
        found.append((start_s - BEFORE_S, end_s + AFTER_S))
    return found
