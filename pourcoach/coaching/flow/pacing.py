"""The pace of the running pour and how steady it is."""

from math import sqrt

from pourcoach.coaching.flow.trace import Sample
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import GramsPerSecond, Seconds

MEMORY_S: Seconds = 4.0
"""How far back the flow is averaged while water runs: about two swings of a hand."""
ANSWER_S: Seconds = 1.0
"""From a word about the pace to the flow that answers it: read, acted on, and seen in the readings.
The flow before that is neither the old pace nor the new one, nor unsteady."""
ANSWERING_S: Seconds = 0.5
"""From a word to the first flow that may answer it: read and begun."""
ANSWER_MEMORY_S: Seconds = 1.0
"""How far back the flow is averaged for an answer."""
PACE_FROM_S: Seconds = 2.0
"""Least duration of flow that shows a pace: about one swing of a hand."""
DEVIATION = 1.18
"""Standard over mean absolute deviation: 1.11 of a swing (π/2√2), 1.25 of a normal wander (√(π/2)).
The absolute one is followed, since one odd value in a few seconds must not look like a wander."""


class RecentFlow:
    """Mean and spread of the flow over the last ``memory_s``, or over all of less."""

    def __init__(self, memory_s: Seconds = MEMORY_S) -> None:
        self._memory_s = memory_s
        self.lasted_s: Seconds = 0.0
        """How many seconds of flow have been averaged so far."""
        self.mean_gps: GramsPerSecond = 0.0
        self._deviation_gps: GramsPerSecond = 0.0
        self._doubt = 0.0
        self._seen_s: Seconds | None = None

    @property
    def cv(self) -> float:
        """Coefficient of variation, less what the error of the readings may have added."""
        left = (DEVIATION * self._deviation_gps) ** 2 - self._doubt
        return sqrt(left) / self.mean_gps if left > 0.0 and self.mean_gps > 0.0 else 0.0

    def look_away(self) -> None:
        """Skip the time until the next value, which is then taken as following the last one."""
        self._seen_s = None

    def feed(self, sample: Sample) -> None:
        """Take a settled value, later than all before it."""
        if self._seen_s is None:
            self._seen_s = sample.t_s
            if self.lasted_s == 0.0:
                self.mean_gps = sample.flow_gps
            return
        t_s, flow_gps, error_gps, _ = sample
        since_s = t_s - self._seen_s
        self._seen_s = t_s
        self.lasted_s = lasted_s = self.lasted_s + since_s
        memory_s = self._memory_s if self._memory_s > since_s else since_s
        weight = since_s / (memory_s if memory_s < lasted_s else lasted_s)
        off_gps = flow_gps - self.mean_gps
        self.mean_gps += weight * off_gps
        self._deviation_gps += weight * (abs(off_gps) - self._deviation_gps)
        self._doubt += weight * (error_gps * error_gps - self._doubt)


class Pacing:
    """Follows the running pour, without its ramp."""

    def __init__(self, ramp_up_s: Seconds) -> None:
        self._ramp_up_s = ramp_up_s
        self._pour_s: Seconds | None = None
        self._from_s: Seconds = 0.0
        self.flow = RecentFlow()
        """The flow of this pour."""
        self.since_correction = RecentFlow()
        """The flow of this pour since another pace was last asked for and there was time to
        answer."""
        self._since = RecentFlow(ANSWER_MEMORY_S)
        self._corrected_at_s: Seconds | None = None
        self._corrected_gps: GramsPerSecond = 0.0

    @property
    def moved_gps(self) -> GramsPerSecond:
        """By how much the flow has changed since another pace was asked for."""
        return self._since.mean_gps - self._corrected_gps if self._since.lasted_s > 0.0 else 0.0

    @property
    def is_answering(self) -> bool:
        """Whether another pace was asked for and too little has come since to judge the new one."""
        return self._corrected_at_s is not None and self.since_correction.lasted_s < PACE_FROM_S

    def rest(self) -> None:
        """Forget the pour: no stage is being poured."""
        if self._pour_s is None and self._corrected_at_s is None:
            return
        self._pour_s = None
        self.flow, self.since_correction = RecentFlow(), RecentFlow()
        self._since, self._corrected_at_s = RecentFlow(ANSWER_MEMORY_S), None

    def feed(self, sample: Sample, pour: Pour, *, clear: bool = True) -> None:
        """Take a settled value while a stage is being poured.

        ``clear`` is False for a value in a touch or where readings are missing, which is skipped.
        """
        if pour.start_s != self._pour_s:
            self.rest()
            self._pour_s = pour.start_s
            self._from_s = pour.start_s + self._ramp_up_s
        if not clear:
            self.flow.look_away()
            self.since_correction.look_away()
            self._since.look_away()
        elif pour.end_s is None and sample.t_s > pour.start_s + self._ramp_up_s:
            self.flow.feed(sample)
            if sample.t_s > self._from_s:
                self.since_correction.feed(sample)
            if self._corrected_at_s is not None and sample.t_s > self._corrected_at_s + ANSWERING_S:
                self._since.feed(sample)

    def corrected(self, t_s: Seconds) -> None:
        """Note that another pace is asked for at ``t_s``."""
        self._from_s = t_s + ANSWER_S
        judged = self.since_correction if self.since_correction.lasted_s > 0.0 else self.flow
        self._corrected_at_s, self._corrected_gps = t_s, judged.mean_gps
        self.since_correction, self._since = RecentFlow(), RecentFlow(ANSWER_MEMORY_S)
