"""How the pour that runs is poured: how fast and how unsteadily."""

from math import sqrt

from pourcoach.coaching.trace import Sample
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import GramsPerSecond, Seconds

MEMORY_S: Seconds = 4.0
"""How far back the flow is looked at while water runs: about two swings of a hand."""
ANSWER_S: Seconds = 1.0
"""From a word about the pace to the flow that answers it: seen, heeded, done, and seen in the
readings. What comes before is neither the old pace nor the new one, nor an unsteady hand."""


class RecentFlow:
    """Mean and variance of the flow over the last ``MEMORY_S``, or over all of less."""

    def __init__(self) -> None:
        self.lasted_s: Seconds = 0.0
        """How much flow has been seen."""
        self.mean_gps: GramsPerSecond = 0.0
        self._variance = 0.0
        self._seen_s: Seconds | None = None

    @property
    def cv(self) -> float:
        """Coefficient of variation."""
        return sqrt(self._variance) / self.mean_gps if self.mean_gps > 0.0 else 0.0

    def feed(self, sample: Sample) -> None:
        """Take a settled value later than all before."""
        if self._seen_s is None:
            self._seen_s, self.mean_gps = sample.t_s, sample.flow_gps
            return
        since_s = sample.t_s - self._seen_s
        self._seen_s = sample.t_s
        self.lasted_s += since_s
        weight = since_s / min(self.lasted_s, max(MEMORY_S, since_s))
        off_gps = sample.flow_gps - self.mean_gps
        self.mean_gps += weight * off_gps
        self._variance = (1.0 - weight) * (self._variance + weight * off_gps * off_gps)


class Pacing:
    """Follows the pour that runs, ramp left out."""

    def __init__(self, ramp_up_s: Seconds) -> None:
        self._ramp_up_s = ramp_up_s
        self._pour_s: Seconds | None = None
        self._from_s: Seconds = 0.0
        self.flow = RecentFlow()
        """Of this pour."""
        self.answer = RecentFlow()
        """Of this pour since its brewer was last asked for another pace and had time to answer."""

    def rest(self) -> None:
        """No stage is being poured."""
        self._pour_s = None
        self.flow, self.answer = RecentFlow(), RecentFlow()

    def feed(self, sample: Sample, pour: Pour) -> None:
        """Take a settled value while a stage is being poured."""
        if pour.start_s != self._pour_s:
            self.rest()
            self._pour_s = pour.start_s
            self._from_s = pour.start_s + self._ramp_up_s
        if pour.end_s is None and sample.t_s > pour.start_s + self._ramp_up_s:
            self.flow.feed(sample)
            if sample.t_s > self._from_s:
                self.answer.feed(sample)

    def told(self, t_s: Seconds) -> None:
        """The brewer is asked for another pace."""
        self._from_s = t_s + ANSWER_S
        self.answer = RecentFlow()
