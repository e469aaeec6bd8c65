"""A platform on which nothing happens: followed by its level alone, until a reading stands out.

There the pour's model says nothing that is not known, and takes most of the time. So while every
reading lies within the noise of the still level, singly and together, only that level is followed
(the STILL mode's own Kalman filter). The readings of the last half second and more are kept, and
are gone through by all models as soon as one does not lie there: nothing is missed, and no pour is
reported later.
"""

import math
from bisect import bisect_right
from statistics import NormalDist
from typing import NamedTuple, TypeAlias

from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.filter.filter_state import FilterState
from pourcoach.estimation.filter.settled_flow import SettledFlow
from pourcoach.estimation.filter.two_modes import STILL_DRIFT
from pourcoach.estimation.filter.wobble_model import TICKS_PER_S
from pourcoach.estimation.look_back import Checkpoint, LookBack
from pourcoach.estimation.noise.traits import TraitsLearner
from pourcoach.estimation.platform.fall import FallWatch
from pourcoach.estimation.platform.platform import Platform
from pourcoach.estimation.platform.repeats import Weighed
from pourcoach.estimation.pours.pour_log import PourLog
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refit import STILL_SIDE_S
from pourcoach.estimation.pours.vapour import VapourLearner

# After so long without a sign of water or of a touch.
QUIET_TICKS = 1000
# A reading stands out where noise alone puts one so far above the level once in the first of these
# times, or so far below it once in the second: of 80 a second 3.8 and 4.4 deviations off, for each
# breaks the rest off and is work; of 10 a second 3.3 and 3.9. Water only raises the weight, and
# until it is noticed the flow is shown as nothing.
RISES_EVERY_S = 200.0
FALLS_EVERY_S = 2000.0
# So do several that lie off to one side, each counting less than the next by this share.
LASTING = 0.8
# Whatever else goes by rest is done so often, and a settled value given.
EVERY_TICKS = 500
# No reading has come for so long that something may have happened meanwhile.
LONGEST_TICKS = 600
# Readings at rest that a pour may still be refined by.
KEPT_S = 2.0 * STILL_SIDE_S
_TOGETHER = 1.0 - LASTING**2


def _far(every_s: Seconds) -> tuple[float, ...]:
    """How far a reading may lie from the level, as a square over its variance, by milliseconds
    since the one before: of noise alone one lies farther off to that side once in ``every_s``."""
    of_noise = NormalDist()
    return tuple(
        of_noise.inv_cdf(max(ticks, 1) / (every_s * TICKS_PER_S)) ** 2
        for ticks in range(LONGEST_TICKS + 1)
    )


_RISEN, _FALLEN = _far(RISES_EVERY_S), _far(FALLS_EVERY_S)


class Kept(NamedTuple):
    """The parts of the tracker that a rest reads and feeds; they do not change during it."""

    record: Record
    log: PourLog
    platform: Platform
    vapour: VapourLearner
    traits: TraitsLearner
    look_back: LookBack
    fall: FallWatch
    settled: SettledFlow


_Rested: TypeAlias = tuple[Weighed, Grams, Grams, float]
"""A reading, its unbroken weight, and the level before it with its variance (g²)."""


def _ticks(rested: _Rested) -> int:
    return rested[0].ticks


class Resting:
    """One rest. It replaces the filters until ``take`` returns False."""

    __slots__ = (
        "_done_ticks",
        "_flow_error_gps",
        "_kept",
        "_rested",
        "_settled",
        "_state",
        "_together_g",
        "_var",
        "learnt_ticks",
        "level_g",
        "ticks",
    )

    def __init__(self, kept: Kept, state: FilterState, flow_error_gps: float) -> None:
        """Starts from the state of the filters; ``flow_error_gps`` is the standard error of the
        flow of 0."""
        self._kept, self._state = kept, state
        self._flow_error_gps = flow_error_gps
        self.level_g: Grams = state.level_g
        """The unbroken weight."""
        self.ticks = state.ticks
        """Milliseconds at the newest reading taken."""
        self._var = state.level_var
        self._together_g = 0.0
        self._rested: list[_Rested] = []
        """Readings that may still be gone through again; nothing is learnt from them yet."""
        self.learnt_ticks = state.ticks
        """Milliseconds at the newest reading that the noise was learnt from."""
        self._done_ticks = state.ticks
        self._settled = False

    def take(self, weighed: Weighed) -> bool:
        """Take the next reading; return False if it stands out: then the rest is over, and all of
        its ``readings`` are gone through again."""
        t_s, ticks, grams = weighed
        _, log, platform, _, traits, look_back, fall, _ = self._kept
        passed = ticks - self.ticks
        unbroken_g = grams + platform.zero.shift_g
        level_g = self.level_g
        off_g = unbroken_g - level_g
        noise_var = traits.noise_var
        var = self._var + STILL_DRIFT * passed / TICKS_PER_S
        error_var = var + noise_var
        self._rested.append((weighed, unbroken_g, level_g, self._var))
        self._together_g = together_g = LASTING * self._together_g + off_g
        if passed > LONGEST_TICKS:
            return False
        most_g2 = (_RISEN if together_g > 0.0 else _FALLEN)[passed] * error_var
        if off_g * off_g > most_g2 or _TOGETHER * together_g * together_g > most_g2:
            return False
        gain = var / error_var
        self.level_g = level_g = level_g + gain * off_g
        self._var = var - gain * var
        self.ticks = ticks
        if ticks - self._done_ticks >= EVERY_TICKS:
            self._done_ticks = ticks
            self._settled = True
            if fall.see(t_s, level_g, math.sqrt(noise_var)):
                return False
            if ticks >= look_back.due_ticks:
                look_back.check(Checkpoint(t_s, self.state(), log.snapshot()))
                self._learn()
        return True

    @property
    def readings(self) -> list[Weighed]:
        """Those of this rest that may still be gone through again, oldest first."""
        return [one[0] for one in self._rested]

    def _learn(self) -> None:
        """Learn from the readings older than any that may still be looked at again: no pour can
        have begun with them."""
        kept, rested = self._kept, self._rested
        record, traits, vapour = kept.record, kept.traits, kept.vapour
        back_to_ticks = kept.look_back.older_ticks
        count = bisect_right(rested, back_to_ticks, key=_ticks)
        if not count:
            return
        learnt = rested[:count]
        del rested[:count]
        traits.rest([(grams - level_g, level_var) for _, grams, level_g, level_var in learnt])
        for (t_s, _, _), unbroken_g, _, _ in learnt:
            record.append(t_s, unbroken_g)
            vapour.rested(t_s, unbroken_g)
        last, _, level_g, _ = learnt[-1]
        self.learnt_ticks = last.ticks
        kept.log.rested(last.t_s, level_g)
        kept.platform.rested(last.t_s, level_g)
        record.forget(last.t_s - KEPT_S)

    def state(self) -> FilterState:
        """Return the state of the filters now: the pour's model keeps its distance from the
        level."""
        before = self._state
        w, q, m, d = before.x
        moved_g = self.level_g - before.level_g
        return before._replace(
            ticks=self.ticks,
            level_g=self.level_g,
            level_var=self._var,
            x=(w + moved_g, q, m, d),
        )

    def estimate(self, t_s: Seconds, traits: ScaleTraits, pours: tuple[Pour, ...]) -> Estimate:
        """Return the Estimate after the reading just taken."""
        kept = self._kept
        booked_g = kept.platform.zero.booked_g
        mass_g = self.level_g - booked_g
        settled = None
        if self._settled:
            self._settled = False
            settled = kept.settled.rested(self.ticks, self.level_g, booked_g, self._flow_error_gps)
        seen = (
            t_s,
            mass_g,
            math.sqrt(self._var),
            0.0,
            self._flow_error_gps,
            False,
            self._state.pour_probability,
            settled,
            None,
            pours,
            traits,
            kept.platform.events.events,
            booked_g,
            None,
            (),
        )
        # At half the time of the constructor, and most readings are those of a rest.
        return tuple.__new__(Estimate, seen)
