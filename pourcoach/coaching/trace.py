"""The settled flow of a brew, and the stretches where it tells nothing of the hand."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field

from pourcoach.domain.estimate import Estimate
from pourcoach.domain.inputs import Input, Reading
from pourcoach.domain.units import GramsPerSecond, Seconds

BEFORE_S: Seconds = 0.4
"""A touch is noticed a little after it began, and the fixed lag smears it backwards."""
AFTER_S: Seconds = 0.2
"""The estimate needs so long to find back after a touch; that one is in force outlasts it."""
HOLE_S: Seconds = 0.4
"""With no reading for longer, the flow between is guessed, not measured."""


@dataclass(frozen=True, slots=True)
class Sample:
    """One settled value."""

    t_s: Seconds
    flow_gps: GramsPerSecond
    error_gps: GramsPerSecond


@dataclass(slots=True)
class Trace:
    """Grows with the brew: about 20 values a second at most."""

    samples: list[Sample] = field(default_factory=list)
    _times: list[Seconds] = field(default_factory=list)
    _unclear: list[tuple[Seconds, Seconds]] = field(default_factory=list)
    _reading_s: Seconds | None = None

    def feed(self, item: Input, estimate: Estimate) -> Sample | None:
        """Take one input and its estimate; the settled value that came with it, if one did."""
        settled, sample = estimate.settled, None
        if settled is not None and (not self._times or settled.t_s > self._times[-1]):
            sample = Sample(settled.t_s, settled.flow_gps, settled.flow_error_gps)
            self.append(sample)
        if estimate.disturbance is not None:
            self._mark(item.t_s - BEFORE_S, item.t_s + AFTER_S)
        if isinstance(item, Reading):
            if self._reading_s is not None and item.t_s - self._reading_s > HOLE_S:
                self._mark(self._reading_s - BEFORE_S, item.t_s + AFTER_S)
            self._reading_s = item.t_s
        return sample

    def append(self, sample: Sample) -> None:
        """Take a settled value later than all before."""
        self._times.append(sample.t_s)
        self.samples.append(sample)

    def between(self, from_s: Seconds, to_s: Seconds) -> list[Sample]:
        """The values of a stretch, unclear ones included."""
        return self.samples[bisect_left(self._times, from_s) : bisect_right(self._times, to_s)]

    def clear(self, from_s: Seconds, to_s: Seconds) -> list[Sample]:
        """The values of a stretch without those that tell nothing of the hand."""
        values = self.between(from_s, to_s)
        for start_s, end_s in self._unclear:
            if start_s <= to_s and end_s >= from_s:
                values = [v for v in values if not start_s <= v.t_s <= end_s]
        return values

    def _mark(self, start_s: Seconds, end_s: Seconds) -> None:
        if self._unclear and start_s <= self._unclear[-1][1]:
            self._unclear[-1] = (self._unclear[-1][0], max(self._unclear[-1][1], end_s))
        else:
            self._unclear.append((start_s, end_s))
