"""Whether a rise of the weight before or at the beginning of a brew is coffee or water."""

from typing import NamedTuple

from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Pour, StagePour
from pourcoach.domain.units import Grams, Seconds

# Common practice; no published source was found for any of these.
DOSE_SHARE = 0.07
DOSE_LEAST_G: Grams = 1.0
"""A dose is weighed out at least this well."""
BEYOND_DOSE = 1.4
"""More than this many doses is no coffee."""
PLANLESS_DOSE_G: Grams = 25.0
"""The dose without a plan: for two to three cups."""
FILLED_SHARE = 0.1
"""Of the plan's water: who pours by eye or by the scale's own figure comes as near."""
RESTED_S: Seconds = 0.5
"""A rise is over once the weight has rested so long."""
LEAST_RISE_G: Grams = 2.0
"""A smaller rise is not reported."""

_VESSELS = (EventKind.PLACED, EventKind.LIFTED, EventKind.RETURNED)
"""Events that end a rise: something set down or taken away."""


class Rise(NamedTuple):
    """What has come in on a scale that was not tared."""

    since_s: Seconds
    from_g: Grams
    """The unbroken weight before it."""
    by_g: Grams
    is_water: bool
    """Whether it is more than the coffee can be."""
    running: bool = False
    """Whether it goes on."""


def is_the_dose(stage: StagePour, plan: Plan, t_s: Seconds) -> bool:
    """Whether a first stage that has come to rest is as much as the dose, which suggests that the
    coffee was put in after the tare.
    """
    if len(stage.pours) != 1 or stage.end_s is None or t_s - stage.end_s < RESTED_S:
        return False
    return stage.mass_g is not None and _is_dose(stage.mass_g, plan)


def beyond_the_dose(mass_g: Grams, plan: Plan | None) -> bool:
    """Whether so much that came in after a tare is more than the coffee can be."""
    return mass_g > BEYOND_DOSE * (PLANLESS_DOSE_G if plan is None else plan.dose_g)


class UntaredRise:
    """Watches a loaded scale for water, so that none is lost before the tare."""

    def __init__(self, plan: Plan | None) -> None:
        self._plan = plan
        self._tared_s: Seconds = 0.0
        self._still_s: Seconds = 0.0
        self._still_g: Grams | None = None
        """The unbroken weight at that moment; None until the next one is fed."""
        self._events: tuple[PlatformEvent, ...] = ()
        self.now: Rise | None = None
        """What has come in since something was last put down or taken away."""

    def was_the_water(self, estimate: Estimate) -> bool:
        """Take the last Estimate of a brew that has not begun; return whether about as much has
        come in since something was last set down or taken away as the plan's water, or since the
        last time before that, or since the last tare, so that it was that water."""
        if self._plan is None:
            return False
        plan_g = self._plan.water_g
        moved_s = [one.end_s or one.start_s for one in estimate.events if one.kind in _VESSELS]
        for since_s in (*reversed(moved_s), self._tared_s):
            self._still_s = max(since_s, self._tared_s)
            self.now = self._rise(self._pours_of(estimate), estimate.unbroken_g)
            if self.now is not None and abs(self.now.by_g - plan_g) <= FILLED_SHARE * plan_g:
                return True
        return False

    def forget(self, t_s: Seconds) -> None:
        """Forget what rose before ``t_s``, after a tare or the first water."""
        self._tared_s = t_s
        self._begin_at(t_s)

    def feed(self, t_s: Seconds, estimate: Estimate) -> None:
        """Take the Estimate at a moment before the first water, on a scale that is not at zero."""
        if estimate.events is not self._events:
            self._events = estimate.events
            if self._events and self._events[-1].kind in _VESSELS:
                self._begin_at(t_s)
                return
        if self._still_g is None:
            self._still_g = estimate.unbroken_g
        self.now = self._rise(self._pours_of(estimate), estimate.unbroken_g)

    def _begin_at(self, t_s: Seconds) -> None:
        self._still_s, self._still_g, self.now = t_s, None, None

    def _pours_of(self, estimate: Estimate) -> list[Pour]:
        """What may be water of what has come in since the weight was last still."""
        pours = [
            pour for pour in estimate.pours if pour.end_s is None or pour.end_s > self._still_s
        ]
        if len(pours) > 1 and _is_dose(pours[0].mass_g or 0.0, self._plan):
            # Coffee first, and then water.
            del pours[0]
        return pours

    def _rise(self, pours: list[Pour], unbroken_g: Grams) -> Rise | None:
        if not pours:
            return None
        # Of water that ran through the tare only what came after it is in question.
        from_g = pours[0].start_g
        if pours[0].start_s < self._still_s and self._still_g is not None:
            from_g = self._still_g
        by_g = unbroken_g - from_g
        if by_g < LEAST_RISE_G:
            return None
        beyond = beyond_the_dose(by_g, self._plan)
        return Rise(pours[0].start_s, from_g, by_g, beyond, pours[-1].end_s is None)


def _is_dose(mass_g: Grams, plan: Plan | None) -> bool:
    dose_g = PLANLESS_DOSE_G if plan is None else plan.dose_g
    return abs(mass_g - dose_g) <= max(DOSE_LEAST_G, DOSE_SHARE * dose_g)
