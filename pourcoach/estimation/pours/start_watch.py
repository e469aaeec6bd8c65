"""The first water after rest: when it may run, is likely to, and has begun to."""

import math
from typing import NamedTuple

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.pours.hinge import Hinge, fit_rise
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refining import MOST_FLOW_GPS, Rest
from pourcoach.estimation.pours.refit import SWING_S

# Water may run when that is as likely as not, and from so long before.
MAYBE_PROBABILITY = 0.5
MAYBE_BEFORE_S = 0.25
# It is likely from here on. Below this flow nobody pours (common practice).
LIKELY_PROBABILITY = 0.9
LEAST_FLOW_GPS = 1.0
# It has begun when the weight bends from rest into a rise that has lasted for so long, with a
# slope that the first water has, and goes on. Reported sooner, or at any slope, the edge of every
# touch would be a pour (chosen on simulated hands and touches).
RISE_FOR_S = 0.13
LEAST_RISE_GPS = 1.4
MOST_RISE_GPS = 8.0
# A rise goes on when the newest reading is no further below its line than this many deviations.
BELOW_LINE_SIGMAS = 0.4
# Readings this soon after one taken for a touch belong to the touch.
TOUCH_LASTS_S = 0.4
# Water that has been likely for this long needs no such rise.
SURE_FOR_S = 0.2
# A rise this steep is a hand's push until it has gone on for so long. A kettle gives up to 10 g/s
# (common practice), and the flow of a pour that has only just begun is known to a few g/s.
MOST_START_GPS = 13.0
STEEP_FOR_S = 1.5
# So much water drums so hard that it seems to rest for moments, but never for so long; a hand that
# has pressed does (simulated, at drumming of 0.045 s of flow).
STEEP_DIPS_S = 0.15
# Nor may it still steepen so that it would be steeper than water so soon: the flow of a hand that
# tilts a kettle levels out within half a second, the force of one that presses grows for longer. Of
# ten readings a second that is known roughly: from 10 g/s on, one pour in twenty of a hand that
# begins quickly is reported 0.2 s later; from 11 g/s on, a slow press of 20 g is one, too.
MOST_WATER_GPS = 10.7
STEEPENS_FOR_S = 0.25
# A start must have brought at least this much water.
LEAST_RISE_G = 0.2
# How far back the bend is looked for.
LOOK_BACK_S = 1.0
# Where a pour is confirmed late, so much of the rest before it shows where it bends: without, a
# moment in which the water drums against the rise is rest.
REST_BEFORE_S = 0.5
# Soon after a pour the water still sloshes, and a start must have brought this much.
SLOSH_RISE_G = 1.0
SLOSH_S = 2.0
# No dip of the weight lasts longer, as when a hand lets go or something is taken away.
DIPS_S = 2.0
# A hand that pulls, or lets go of more than had been noticed of it, leaves the weight so far below
# (chosen).
MOST_DIP_G = 5.0


class StartState(NamedTuple):
    """The state of a watch, to be restored."""

    rest_g: Grams
    touched_s: Seconds
    maybe_since_s: Seconds | None
    likely_since_s: Seconds | None


class StartWatch:
    """Looks for a start while no pour is open."""

    __slots__ = (
        "_last_likely_s",
        "_maybe_since_s",
        "_record",
        "_rest_g",
        "_steepens",
        "_steepest_gps",
        "_touched_s",
        "_traits",
        "likely_since_s",
    )

    def __init__(self, record: Record, traits: TraitsLearner) -> None:
        """It reads the record and the noise, and changes neither."""
        self._record, self._traits = record, traits
        self._rest_g = math.inf
        self._touched_s = -math.inf
        self._maybe_since_s: Seconds | None = None
        self.likely_since_s: Seconds | None = None
        """Since when water is likely; None while it is not."""
        self._last_likely_s = -math.inf
        self._steepest_gps: GramsPerSecond = 0.0
        self._steepens = False

    def may_run(self, t_s: Seconds) -> bool:
        """Whether water may have run at this moment of the recent past."""
        return self._maybe_since_s is not None and t_s >= self._maybe_since_s - MAYBE_BEFORE_S

    def snapshot(self) -> StartState:
        """All of the state as it is."""
        return StartState(self._rest_g, self._touched_s, self._maybe_since_s, self.likely_since_s)

    def restore(self, state: StartState) -> None:
        """Go back to a snapshot."""
        self._rest_g, self._touched_s, self._maybe_since_s, self.likely_since_s = state
        self._last_likely_s = -math.inf

    def touched(self, t_s: Seconds) -> None:
        """A reading at ``t_s`` is more likely a touch than not."""
        self._touched_s = t_s

    def let_go(self, mass_g: Grams) -> None:
        """A hand has let go: where the weight lay under it, water need not rise above."""
        self._rest_g = min(self._rest_g, mass_g)

    def see(
        self,
        t_s: Seconds,
        probability: float,
        flow_gps: GramsPerSecond,
        rise_gps2: float,
        mass_g: Grams,
    ) -> None:
        """A good reading, of which the filter makes this; ``flow_gps`` were this a pour, and it
        changes by ``rise_gps2``."""
        soon_gps = flow_gps + STEEPENS_FOR_S * rise_gps2
        self._steepens = rise_gps2 > 0.0 and soon_gps > MOST_WATER_GPS
        if probability < MAYBE_PROBABILITY:
            self._maybe_since_s = None
            self._rest_g = mass_g
        elif self._maybe_since_s is None:
            self._maybe_since_s = t_s
        if probability < LIKELY_PROBABILITY or flow_gps < LEAST_FLOW_GPS:
            steep = self._steepest_gps >= MOST_START_GPS
            if not steep or t_s - self._last_likely_s > STEEP_DIPS_S:
                self.likely_since_s = None
            return
        self._last_likely_s = t_s
        if self.likely_since_s is None:
            self.likely_since_s, self._steepest_gps = t_s, flow_gps
        elif flow_gps > self._steepest_gps:
            self._steepest_gps = flow_gps

    def has_begun(self, t_s: Seconds, mass_g: Grams, rest_from_s: Seconds) -> bool:
        """Whether a pour is to be reported: after ``see``, with no pour before ``rest_from_s``."""
        if self.likely_since_s is None or mass_g < self._rest_g + LEAST_RISE_G:
            return False
        likely_s = t_s - self.likely_since_s
        if likely_s >= STEEP_FOR_S:
            return True
        if self._steepens:
            return False
        if likely_s >= SURE_FOR_S:
            return self._steepest_gps < MOST_START_GPS
        if t_s - self._touched_s < TOUCH_LASTS_S:
            return False
        rise = self.bend(t_s, rest_from_s)
        if rise is None or t_s - rise.t_s < RISE_FOR_S:
            return False
        below_g = rise.level_g + rise.slope_gps * (t_s - rise.t_s) - self._record.last_g
        return (
            LEAST_RISE_GPS < rise.slope_gps < MOST_RISE_GPS
            and below_g < BELOW_LINE_SIGMAS * math.sqrt(self._traits.noise_var)
        )

    def bend(self, t_s: Seconds, rest_from_s: Seconds, began_s: Seconds = math.inf) -> Hinge | None:
        """Where rest bends into the rise that goes on now, if that can be seen. Some of the rest
        before ``began_s``, when it seemed to begin until now, is looked at in any case."""
        since_s = self.likely_since_s
        if since_s is not None and t_s - since_s > LOOK_BACK_S:
            # It was taken for a hand's push until now.
            t_s = since_s + 0.5 * LOOK_BACK_S
        from_s = min(t_s - LOOK_BACK_S, began_s - REST_BEFORE_S)
        return fit_rise(*self._record.between(max(from_s, rest_from_s), t_s))


def pushed(mass_g: Grams, lasted_s: Seconds) -> bool:
    """Whether a rise that is over was too steep for water, and too short for more than a push."""
    return mass_g > MOST_FLOW_GPS * lasted_s and lasted_s < STEEP_FOR_S


def sloshes(t_s: Seconds, since_s: Seconds, mass_g: Grams, last: Pour | None) -> bool:
    """Whether a rise since then may be the last pour's water, not yet at rest."""
    if last is None or last.end_s is None or last.end_g is None:
        return False
    soon = t_s - since_s < SWING_S and t_s - last.end_s < SLOSH_S
    return soon and mass_g < last.end_g + SLOSH_RISE_G


def risen_from(pour: Pour, rest: Rest | None, last: Pour | None = None) -> Grams:
    """The weight that a pour has risen from: where the platform rested only a moment before it
    began, no dip in between makes water of what comes back; nor of what only comes up to where the
    ``last`` pour had brought it."""
    from_g = pour.start_g
    if last is not None and last.end_g is not None:
        from_g = max(from_g, min(last.end_g, from_g + MOST_DIP_G))
    if rest is None or pour.start_s - rest[0] > DIPS_S:
        return from_g
    return max(from_g, rest[1])
