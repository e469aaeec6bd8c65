"""Whether the next rise of weight will be taken as the first water."""

from pourcoach.domain.estimate import Estimate
from pourcoach.domain.units import Grams, Seconds

NEAR_ZERO_G: Grams = 2.0
"""A platform within this of zero is ready: common practice."""
SETTLE_S: Seconds = 0.5
"""The weight must have left zero this long, with no pour seen, to disarm."""
SLACK_S: Seconds = 0.5
"""A pour's beginning is known only in hindsight: it may lie this much before the arming."""


class Arming:
    """Armed while the platform rests near zero, or once the brewer has said so."""

    def __init__(self) -> None:
        self.since_s: Seconds | None = None
        """From when on pours count, on the tape; None while unarmed."""
        self.by_key = False
        """Whether the brewer said so: then a vessel set down is no water and changes nothing."""
        self._off_zero_s: Seconds | None = None
        self._lapsed: tuple[Seconds, Seconds] | None = None
        """The last time it was armed: from when, and until the weight left zero."""

    @property
    def armed(self) -> bool:
        """Whether the next rise of weight is the first water."""
        return self.since_s is not None

    def begin(self, t_s: Seconds) -> None:
        """The brewer says that the rise since ``t_s`` is the first water, whatever stands there."""
        self.since_s, self.by_key = t_s, True

    def reset(self) -> None:
        """After a tare: arm afresh once the platform rests at zero."""
        self.since_s, self.by_key, self._off_zero_s, self._lapsed = None, False, None, None

    def feed(self, t_s: Seconds, estimate: Estimate) -> None:
        """One moment before the first water."""
        if self.by_key:
            return
        if abs(estimate.mass_g) < NEAR_ZERO_G:
            self._off_zero_s = None
            if self.since_s is None and not estimate.pouring:
                self.since_s = t_s
        elif estimate.pouring:
            self._off_zero_s = None
        elif self._off_zero_s is None:
            self._off_zero_s = t_s
        elif t_s - self._off_zero_s > SETTLE_S and self.since_s is not None:
            self._lapsed = self.since_s, self._off_zero_s
            self.since_s = None

    def counts(self, start_s: Seconds) -> bool:
        """Whether a pour that began at ``start_s`` is part of the brew.

        One that is reported late has disarmed the platform by its own water, and counts all the
        same."""
        if self.since_s is not None:
            return start_s >= self.since_s - SLACK_S
        if self._lapsed is None:
            return False
        since_s, until_s = self._lapsed
        return since_s - SLACK_S <= start_s <= until_s
