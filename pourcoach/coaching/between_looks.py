"""Frames of readings that are not looked at: they move the weight and the clocks."""

from math import inf

from pourcoach.domain.estimate import Estimate
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase, PourState
from pourcoach.domain.units import Seconds

# Bound here: before Python 3.12 to reach a member of an Enum takes as long as a call.
_DONE = Phase.DONE


class BetweenLooks:
    """Moves the Frame of the last input that was looked at on with each reading that shows no more
    than a weight that goes on as it did.

    What stays the same is taken out of the Frame once: before Python 3.12 to reach a field of a
    named tuple takes several times as long as an attribute.
    """

    __slots__ = (
        *("_brew_s", "_countdown_s", "_due_s", "_events", "_flows", "_off_g", "_over", "_pour"),
        *("_pouring", "_pours", "_rest_of_frame", "_rest_of_pour", "_t_s", "_unbroken_g"),
        "_water_g",
    )

    def __init__(self, frame: Frame, due_s: Seconds) -> None:
        """``due_s``: when the next reading is looked at, whatever it shows."""
        estimate, pour = frame.estimate, frame.pour
        # Every reading is looked at until the platform is quiet again.
        self._due_s = due_s if estimate.disturbance is None else -inf
        self._flows, self._pouring = estimate.flow_gps > 0.0, estimate.pouring
        self._pours, self._events = estimate.pours, estimate.events
        self._t_s, self._unbroken_g = frame.t_s, estimate.mass_g + estimate.booked_g
        self._pour, self._over = pour, pour.phase is _DONE
        self._brew_s, self._water_g, self._off_g, self._countdown_s = pour[:4]
        self._rest_of_pour, self._rest_of_frame = pour[4:], frame[3:]

    def frame(self, t_s: Seconds, estimate: Estimate) -> Frame | None:
        """Return the Frame of the next reading, at ``t_s``; None if it is to be looked at."""
        if (
            t_s >= self._due_s
            or estimate.settled is not None
            or (estimate.flow_gps > 0.0) is not self._flows
            or estimate.pours is not self._pours
            or estimate.events is not self._events
            or estimate.pouring is not self._pouring
            or estimate.disturbance is not None
        ):
            return None
        if not self._over:
            # The difference of the unbroken weights.
            unbroken_g = estimate.mass_g + estimate.booked_g
            water_g = self._water_g + (unbroken_g - self._unbroken_g)
            if self._off_g is not None:
                self._off_g += water_g - self._water_g
            since_s = t_s - self._t_s
            if self._brew_s is not None:
                self._brew_s += since_s
            if self._countdown_s is not None:
                self._countdown_s -= since_s
            self._t_s, self._unbroken_g, self._water_g = t_s, unbroken_g, water_g
            moved = self._brew_s, water_g, self._off_g, self._countdown_s
            # At half the time of the constructor, as below.
            self._pour = tuple.__new__(PourState, moved + self._rest_of_pour)
        moved_on = t_s, estimate, self._pour
        return tuple.__new__(Frame, moved_on + self._rest_of_frame)
