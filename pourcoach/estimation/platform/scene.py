"""What stands on the platform, as far as it can come back or be gone."""

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from pourcoach.domain.units import Grams, Seconds

# Vessels that may come back, newest last.
REMEMBERED = 6
# A reading so far from zero shows that something stands on a platform whose zero is bare.
LOADED_G = 50.0
# A hand that presses lets go within this time (common practice).
LETS_GO_S = 30.0
# It seldom holds still for longer than the first, and then hardly longer than by the second
# (common practice).
HOLDS_S = 2.5
HOLDS_ON_S = 0.8
# Rest is noticed a little after it begins, and reported at most this often.
NOTICED_S = 1.5
# Water that stopped so recently may as well have run on: a brewer is lifted slowly at first, which
# looks as if the water had stopped.
STOPPED_S = 0.5
# Nobody presses the button again so soon after a tare where no water runs.
TARED_S = 0.5
# No hand presses harder and harder for this long, from one rest to the next, as poured water does
# (common practice).
POURS_S = 5.5
# No kettle gives more (common practice).
MOST_FLOW_GPS = 11.0
# Levels closer than this are one rest.
SAME_G = 0.8
# When a hand has let go, the weight is nearer than this to where it was.
NEAR_G = 3.0


class SceneRest(NamedTuple):
    """A level at which the weight has rested, up to when."""

    t_s: Seconds
    level_g: Grams
    shift_g: Grams
    since_s: Seconds


class Away(NamedTuple):
    """Something set down or taken away, which may be taken away or put back again."""

    shift_g: Grams
    """The shift that held before."""
    change_g: Grams
    since_s: Seconds
    level_g: Grams
    """The unbroken weight then."""
    pouring: bool = False
    """Whether water ran then."""
    probability: float = 1.0
    """The probability that it was this: a tare of the scale may have been a lift."""
    loose: bool = False
    """Whether how much of a hand is in the shift is not known: the scale had tared itself under
    one."""
    carried_g: Grams = 0.0
    """How much of the level is water that need not have run on."""


@dataclass(frozen=True, slots=True)
class Scene:
    """What a beam needs to know when it opens."""

    rests: tuple[tuple[Grams, Grams], ...] = ()
    """Unbroken weights from before the most recent water, each with the shift that held then."""
    poured_from_g: Grams = -math.inf
    """The unbroken weight at which the newest water began that cannot have been a hand."""
    first_rest: tuple[Grams, Grams] | None = None
    """The oldest of these, or the last before them: where all water that a hand may lie on since
    began. None where nothing has rested."""
    pressed_from_g: Grams = math.inf
    """The unbroken weight from which it has risen faster than any water to where it rests now."""
    away: tuple[Away, ...] = ()
    """Vessels that came or went, newest last."""
    t_s: Seconds = 0.0
    """The time at which it was made."""
    lifted_g: Grams = 0.0
    """How much more has been taken away than set down."""
    may_be_empty: bool = False
    """Whether a reading of zero may be the bare platform."""
    rested_s: Seconds = 0.0
    """How long the weight has rested where it is."""
    tared_now: bool = False
    """Whether the scale has only just tared itself."""

    @property
    def stopped_now(self) -> bool:
        """Whether water, if it ran, did so until now or has only just stopped."""
        return self.rested_s < STOPPED_S

    def poured_above(self, unbroken_g: Grams) -> bool:
        """Whether so much has been poured that the weight does not come down to this when a hand
        lets go."""
        return unbroken_g < self.poured_from_g + NEAR_G

    @property
    def hand_holds(self) -> float:
        """The probability that a hand, if it is one, holds still for as long as the weight has."""
        return math.exp(-max(self.rested_s - HOLDS_S, 0.0) / HOLDS_ON_S)


class SceneKeeper:
    """Remembers vessels, and whether zero is the bare platform."""

    __slots__ = ("_away", "_falls", "_lifted_g", "_loaded", "_loose", "_rests", "_tared_s")

    def __init__(self, first_g: Grams) -> None:
        self._away: list[Away] = []
        self._rests: list[SceneRest] = []
        self._falls: list[tuple[Seconds, Grams]] = []
        """When hands let go, and how hard they had pressed."""
        self._loaded = first_g > LOADED_G
        self._loose = False
        self._tared_s = -math.inf
        self._lifted_g = 0.0

    def now(
        self, t_s: Seconds, level_g: Grams, shift_g: Grams = 0.0, *, pouring: bool = False
    ) -> Scene:
        """The scene as it is known at this moment, with the unbroken weight at this level under
        this shift, and water running or not."""
        empty = self._loaded and self._tared_s == -math.inf
        late = [one for one in self._rests if t_s - one.t_s < LETS_GO_S]
        levels = tuple((one.level_g, one.shift_g) for one in late)
        newest = self._rests[-1] if self._rests else None
        rested_s = 0.0
        if newest is not None and t_s - newest.t_s < NOTICED_S and _near(level_g, newest.level_g):
            rested_s = t_s - newest.since_s
        until = [*self._rests, SceneRest(t_s, level_g, shift_g, t_s)] if pouring else self._rests
        poured_g = [
            one.level_g
            for one, later in pairwise(until)
            if later.since_s - one.t_s > POURS_S
            and later.shift_g == one.shift_g
            and later.level_g - one.level_g > self._fallen_g(one.t_s, later.since_s)
        ]
        poured_from_g = poured_g[-1] if poured_g else -math.inf
        pressed_from_g = math.inf
        for one, later in pairwise(reversed(late)):
            if not _pressed(later, one):
                break
            pressed_from_g = later.level_g
        first = self._rests[0] if self._rests else None
        first_rest = None if first is None else (first.level_g, first.shift_g)
        tared_now = t_s - self._tared_s < TARED_S
        return Scene(
            *(levels, poured_from_g, first_rest, pressed_from_g, tuple(self._away)),
            *(t_s, self._lifted_g, empty, rested_s),
            tared_now=tared_now,
        )

    def rested(self, t_s: Seconds, level_g: Grams, shift_g: Grams) -> None:
        """The weight rests at this level, under this shift."""
        rests = self._rests
        if rests:
            _, last_g, last_shift_g, since_s = rests[-1]
            # As in _near, without a call for each reading.
            if -SAME_G < level_g - last_g < SAME_G and shift_g == last_shift_g:
                rests[-1] = SceneRest(t_s, level_g, shift_g, since_s)
                return
        rests.append(SceneRest(t_s, level_g, shift_g, t_s))
        while len(rests) > 1 and t_s - rests[1].t_s > LETS_GO_S:
            del rests[0]  # From the last one before that time the weight has risen since.

    def rested_s(
        self, level_g: Grams | None, shift_g: Grams, left_g: Grams | None = None
    ) -> Seconds | None:
        """Until when it last rested at this level, under this shift, or with ``left_g`` under any
        but that; None where it is not known."""
        if level_g is None:
            return None
        return next(
            (
                one.t_s
                for one in reversed(self._rests)
                if _near(one.level_g, level_g)
                and (one.shift_g == shift_g if left_g is None else one.shift_g != left_g)
            ),
            None,
        )

    def fell(self, t_s: Seconds, grams: Grams) -> None:
        """A hand has let go that pressed so hard."""
        kept = [one for one in self._falls if self._rests and one[0] > self._rests[0].t_s]
        self._falls = [*kept, (t_s, grams)]

    def _fallen_g(self, from_s: Seconds, to_s: Seconds) -> Grams:
        """How hard the hands pressed that let go between these moments: what is left may well be
        another, although no hand by itself rises for so long."""
        return sum(grams for t_s, grams in self._falls if from_s < t_s <= to_s)

    def vessel(self, vessel: Away) -> None:
        """Something was set down or taken away."""
        change_g = vessel.change_g
        self._loaded = self._loaded or change_g > LOADED_G
        # No more than a hand's push has been set down that may go again unnoticed.
        self._lifted_g = max(self._lifted_g - change_g, -LOADED_G)
        self._away = [*self._away, vessel._replace(loose=self._loose)][-REMEMBERED:]

    def returned(self, shift_g: Grams, left_g: Grams) -> None:
        """The platform is as it was under this shift, or nearly; what rested there under the shift
        that has held since is gone, and no level to come back to; but a hand that presses again
        lets go again."""
        self._loose = False
        if left_g < shift_g or left_g - shift_g > LOADED_G:
            self._rests = [one for one in self._rests if one.shift_g != left_g]
        if not self._away or _near(shift_g, left_g):
            return  # What is back went in the same moment.
        nearest = min(range(len(self._away)), key=lambda i: abs(self._away[i].shift_g - shift_g))
        one = self._beside(shift_g, left_g)
        if one is not None and abs(self._away[nearest].shift_g - shift_g) > SAME_G:
            gone = self._away.pop(one)
            later = [it._replace(shift_g=it.shift_g + gone.change_g) for it in self._away[one:]]
            self._away[one:] = later
            self._lifted_g = max(self._lifted_g + gone.change_g, -LOADED_G)
            return
        undone = self._away[nearest:]
        # What came or went after it is as it was too, but for a tare, which moved them all.
        kept = [it for it in undone[1:] if it.probability < 1.0]
        self._away[nearest:] = kept
        self._lifted_g += sum(it.change_g for it in undone if it not in kept)

    def _beside(self, shift_g: Grams, left_g: Grams) -> int | None:
        """The place of what alone is as it was, beside all that came or went after it; None where
        there is none."""
        changed_g = shift_g - left_g
        places = range(len(self._away) - 1)
        return next((i for i in places if abs(self._away[i].change_g - changed_g) < SAME_G), None)

    def tare(self, tare: Away) -> None:
        """The scale went to zero, its figures lower by ``-change_g``."""
        change_g = tare.change_g
        self._tared_s, self._loose = tare.since_s, tare.loose
        moved = [one._replace(shift_g=one.shift_g - change_g) for one in self._away]
        # It may have been a lift of all that stands there: then this comes back.
        self._rests = [one._replace(shift_g=one.shift_g - change_g) for one in self._rests]
        self._away = [tare, *moved][-REMEMBERED:]


def _near(one_g: Grams, other_g: Grams) -> bool:
    """Whether these levels are one rest."""
    return abs(one_g - other_g) < SAME_G


def _pressed(one: SceneRest, later: SceneRest) -> bool:
    """Whether the weight has risen from one rest to the next faster than any water."""
    most_g = MOST_FLOW_GPS * (later.since_s - one.t_s)
    return one.shift_g == later.shift_g and later.level_g - one.level_g > most_g
