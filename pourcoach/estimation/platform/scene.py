"""What stands on the platform, as far as it can come back or be gone."""

from collections.abc import Iterable
from dataclasses import dataclass

from pourcoach.domain.units import Grams, Seconds

# Vessels that may come back, newest last.
REMEMBERED = 6
# A reading so far from zero shows that something stands on a platform whose zero is bare.
LOADED_G = 50.0


@dataclass(frozen=True, slots=True)
class Scene:
    """What a beam need know when it opens."""

    rests: tuple[tuple[Grams, Grams], ...] = ()
    """Unbroken weights from before the water of late, each with the shift that held then."""
    shifts: tuple[tuple[Grams, Grams], ...] = ()
    """Shifts that held before vessels came and went, each with what it changed by."""
    lifted: bool = False
    """Whether something heavy has been taken away and not come back."""
    may_be_empty: bool = False
    """Whether a reading of zero may be the bare platform."""


class SceneKeeper:
    """Remembers vessels, and whether zero is the bare platform."""

    __slots__ = ("_held", "_lifted_g", "_loaded", "_shifts", "_tared")

    def __init__(self, first_g: Grams) -> None:
        self._shifts: list[tuple[Grams, Grams]] = []
        self._held: list[tuple[Seconds, Grams]] = []
        self._loaded = first_g > LOADED_G
        self._tared = False
        self._lifted_g = 0.0

    def now(self, rests: Iterable[tuple[Seconds, Grams]], shift_g: Grams) -> Scene:
        """The scene under this shift, with the rests (when, unbroken weight) that a hand may let
        the weight fall back to."""
        empty = self._loaded and not self._tared
        levels = tuple((level_g, self._shift_at(t_s, shift_g)) for t_s, level_g in rests)
        return Scene(levels, tuple(self._shifts), self._lifted_g > LOADED_G, empty)

    def shifted(self, t_s: Seconds, shift_g: Grams) -> None:
        """Up to this moment this shift held."""
        self._held = [*self._held, (t_s, shift_g)][-REMEMBERED:]

    def _shift_at(self, t_s: Seconds, now_g: Grams) -> Grams:
        return next((shift_g for until_s, shift_g in self._held if t_s < until_s), now_g)

    def vessel(self, shift_g: Grams, change_g: Grams) -> None:
        """The level jumped by so much; before it this shift held."""
        self._loaded = self._loaded or change_g > LOADED_G
        self._lifted_g = max(0.0, self._lifted_g - change_g)
        self._shifts = [*self._shifts, (shift_g, change_g)][-REMEMBERED:]

    def returned(self, shift_g: Grams) -> None:
        """The platform is as it was under this shift, or nearly."""
        if self._shifts:
            nearest = min(self._shifts, key=lambda one: abs(one[0] - shift_g))
            self._shifts.remove(nearest)
            self._lifted_g = max(0.0, self._lifted_g + min(0.0, nearest[1]))

    def tare(self, shift_g: Grams, change_g: Grams) -> None:
        """The scale went to zero, its figures lower by ``-change_g``; before it this shift held."""
        self._tared = True
        moved = [(before_g - change_g, by_g) for before_g, by_g in self._shifts]
        # It may have been a lift of all that stands there: then this comes back.
        self._held = [(t_s, before_g - change_g) for t_s, before_g in self._held]
        self._shifts = [(shift_g, change_g), *moved][-REMEMBERED:]
