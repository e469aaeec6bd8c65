"""Whether the next rise of weight will be taken as the first water."""

from pourcoach.coaching.platform.lifts import LIFT_G
from pourcoach.domain.estimate import Disturbance, Estimate, EventKind, PlatformEvent
from pourcoach.domain.units import Grams, Seconds

NEAR_ZERO_G: Grams = 2.0
"""A platform within this of zero is ready: common practice."""
BELOW_G: Grams = 0.5
"""What rests lower is no noise of the scale's zero."""
MOST_BELOW_G: Grams = 50.0
"""A hand that lay on the platform while it was tared leaves it so far below zero at most (common
practice)."""
RESTS_PROBABILITY = 0.05
"""Water is less likely than this while the platform rests."""
SETTLE_S: Seconds = 0.5
"""The weight must have left zero this long, with no pour seen, to disarm."""
LEFT_ZERO_G: Grams = 0.5
TRICKLE_S = (1.0, 10.0)
"""What takes so long from there to no more near zero is a trickle, and no vessel (that comes at
once), nor a drift."""
SLACK_S: Seconds = 0.5
"""A pour's beginning is known only in hindsight: it may lie this much before the arming, or this
much after its water left zero, as where a knock hides its first moment."""
LAST_GROUNDS_G: Grams = 5.0
"""The most coffee that still falls when the platform is tared after dosing. A pour tared by mistake
brings more."""


class Arming:
    """Armed while the platform rests near zero, or below it once a hand has let go that lay there
    during the tare, or once the brewer has said so."""

    def __init__(self) -> None:
        self.since_s: Seconds | None = None
        """From when on pours count, on the tape; None while unarmed."""
        self.by_key = False
        """Whether the brewer said so: then a vessel set down is no water and changes nothing."""
        self.below_g: Grams = 0.0
        """Where below zero the platform has come to rest: water counts from there. Else 0."""
        self._rests_s: Seconds | None = None
        self._off_zero_s: Seconds | None = None
        self._at_zero_s: Seconds = 0.0
        self._trickled = False
        self._lapsed: tuple[Seconds, Seconds] | None = None
        """The last time it was armed: from when, and until the weight left zero."""

    @property
    def armed(self) -> bool:
        """Whether the next rise of weight is the first water."""
        return self.since_s is not None

    def begin(self, t_s: Seconds) -> None:
        """Arm by key: the rise since ``t_s`` is the first water, whatever stands on the scale."""
        self.since_s, self.by_key, self.below_g = t_s, True, 0.0

    def reset(self) -> None:
        """Disarm after a tare, until the platform rests at zero."""
        self.since_s, self.by_key, self._off_zero_s, self._lapsed = None, False, None, None
        self.below_g, self._rests_s = 0.0, None

    def feed(self, t_s: Seconds, estimate: Estimate, *, moved: bool = False) -> None:
        """Take the Estimate at a moment before the first water; ``moved``: its events are new."""
        if self.by_key:
            return
        if moved and estimate.events and estimate.pours:
            self._look_back(estimate.events[-1], estimate)
        below = _is_below(estimate)
        self._look_below(t_s, estimate.mass_g if below else 0.0, estimate)
        if below or abs(estimate.mass_g) < NEAR_ZERO_G:
            self._off_zero_s = None
            if abs(estimate.mass_g) < LEFT_ZERO_G:
                self._at_zero_s = t_s
            if self.since_s is None and not estimate.pouring:
                self.since_s = t_s
        elif estimate.pouring:
            self._off_zero_s = None
        elif self._off_zero_s is None:
            self._off_zero_s = t_s
            least_s, most_s = TRICKLE_S
            self._trickled = estimate.mass_g > 0.0 and least_s < t_s - self._at_zero_s < most_s
        elif self._trickled or self.since_s is None:
            pass  # A few drops of the first water, too few for a pour: what follows is the brew.
        elif t_s - self._off_zero_s > SETTLE_S:
            self._lapsed = self.since_s, self._off_zero_s
            self.since_s = None

    def _look_back(self, event: PlatformEvent, estimate: Estimate) -> None:
        """Take back a lapse that a hand on the platform caused, now that it is known when the hand
        let go: water that has begun since is the first."""
        pour = estimate.pours[-1]
        near = -MOST_BELOW_G < pour.start_g - estimate.booked_g < NEAR_ZERO_G
        since_s, lapsed = self.since_s, self._lapsed is not None
        late = lapsed if since_s is None else pour.start_s < since_s
        if near and late and event.end_s is not None and event.end_s < pour.start_s:
            self.since_s = event.end_s

    def _look_below(self, t_s: Seconds, below_g: Grams, estimate: Estimate) -> None:
        if estimate.pouring or estimate.pour_probability > RESTS_PROBABILITY:
            self._rests_s = None
        elif self._rests_s is None:
            self._rests_s = t_s
        elif t_s - self._rests_s > SETTLE_S:
            self.below_g = below_g

    def counts(self, start_s: Seconds) -> bool:
        """Whether a pour that began at ``start_s`` is part of the brew.

        One that is reported late has disarmed the platform by its own water, and counts all the
        same."""
        if self.since_s is not None:
            return start_s >= self.since_s - SLACK_S
        if self._lapsed is None:
            return False
        since_s, until_s = self._lapsed
        return since_s - SLACK_S <= start_s <= until_s + SLACK_S


def _is_below(estimate: Estimate) -> bool:
    """Whether the platform is below zero by no more than a hand may have pressed, and not because
    a vessel was taken off it, which may come back."""
    if estimate.disturbance not in (None, Disturbance.LEAN):
        return False
    newest = estimate.events[-1] if estimate.events else None
    lifted = newest is not None and newest.kind is EventKind.LIFTED and newest.change_g < -LIFT_G
    return not lifted and -MOST_BELOW_G < estimate.mass_g < -BELOW_G
