"""Stretches after which the scale reads what it read before them."""

from typing import NamedTuple

from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.platform.fall import DRIES_GPS
from pourcoach.estimation.platform.scene import LETS_GO_S

# Readings at rest closer than this are equal (a fraction of a drop, and the noise of the level),
# but for what the bed loses meanwhile.
SAME_G: Grams = 0.4
# A rest lasts at least this long: a moving hand stands still for a moment where it turns.
RESTS_S: Seconds = 0.5


class _Rest(NamedTuple):
    t_s: Seconds
    reading_g: Grams
    shift_g: Grams
    tares_g: Grams


class LeftNothing:
    """Remembers what the scale read at rest before something happened, and looks for it again.

    Water that came while something of just its weight went is hardly ever what happened: nothing
    came, nothing went, and a hand has let go, whatever was made of it meanwhile. Only stretches of
    which something else was made are kept, and of those none in which the scale was tared.
    """

    __slots__ = ("_before", "_newest", "_since_s", "found")

    def __init__(self) -> None:
        self._newest: _Rest | None = None
        self._before: list[_Rest] = []
        """Rests before something happened, no longer ago than a hand may press, oldest first."""
        self._since_s: Seconds | None = None
        self.found: list[tuple[Seconds, Seconds]] = []
        """From the last rest before each stretch to the first after it."""

    def disturbed(self) -> None:
        """Note that something begins to happen."""
        if self._newest is not None:
            self._before.append(self._newest)
        self._newest = self._since_s = None

    def let_go(self, pressed_s: Seconds) -> None:
        """A hand has let go that pressed since then: where the weight rested under it is no level
        to come back to, and water that reads the same is poured by chance."""
        self.disturbed()
        self._before = [one for one in self._before if one.t_s < pressed_s]

    def rested(self, t_s: Seconds, level_g: Grams, shift_g: Grams, tares_g: Grams) -> None:
        """The weight rests, and the unbroken weight is this under these shifts."""
        reading_g = level_g - shift_g
        newest = self._newest
        if newest is not None and abs(newest.reading_g - reading_g) > SAME_G:
            self.disturbed()  # By water, or by what seems to be water.
        self._newest = _Rest(t_s, reading_g, shift_g, tares_g)
        before = self._before
        while before and t_s - before[0].t_s > LETS_GO_S:
            del before[0]
        place = next((i for i, one in enumerate(before) if _same(one, t_s, reading_g)), None)
        if place is None:
            self._since_s = None
            return
        if self._since_s is None:
            self._since_s = t_s
        if t_s - self._since_s < RESTS_S:
            return
        same = before[place]
        self.found = [one for one in self.found if one[1] <= same.t_s]
        if abs(same.shift_g - shift_g) > SAME_G and same.tares_g == tares_g:
            self.found.append((same.t_s, self._since_s))
        del before[place:]


def _same(one: _Rest, t_s: Seconds, reading_g: Grams) -> bool:
    """Whether a reading is that of a rest before it, while the bed may have dried."""
    lost_g = one.reading_g - reading_g
    return -SAME_G < lost_g < SAME_G + DRIES_GPS * (t_s - one.t_s)
