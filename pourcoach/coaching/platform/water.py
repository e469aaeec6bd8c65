"""Which part of the weight is brew water: the dry weight, and pours less it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise
from math import inf

from pourcoach.coaching.platform.arming import MOST_BELOW_G
from pourcoach.coaching.platform.doubts import Gain, among
from pourcoach.domain.estimate import PlatformEvent
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds

LEAST_BELOW_G: Grams = 1.0
"""Water that begins less far below zero does so by its error."""
MOST_MOVES = 8
"""The first water is found within seconds; more than this has not moved meanwhile."""


class DryLine:
    """Follows the unbroken weight with no water on it: until the first water, what is tared, set
    down or taken away moves it."""

    __slots__ = ("_moved_g", "_moves", "booked_g", "dry_g")

    def __init__(self) -> None:
        self.dry_g: Grams = 0.0
        """The unbroken weight with no water on it."""
        self.booked_g: Grams = 0.0
        """What was last subtracted from the unbroken weight to show it."""
        self._moved_g: Grams = 0.0
        self._moves: list[tuple[Seconds, Grams]] = []
        """When the dry weight was last moved, and by how much."""

    def put(self, dry_g: Grams) -> None:
        """Set the dry weight, whatever has moved it since the brew began."""
        self.dry_g, self._moved_g = dry_g, 0.0
        self._moves.clear()

    def feed(self, t_s: Seconds, booked_g: Grams, *, begun: bool, kept: bool) -> None:
        """Take what is subtracted from the unbroken weight now to show it. ``begun``: the first
        water has come; ``kept``: the brewer has confirmed the dry weight by key."""
        self._moved_g += booked_g - self.booked_g
        self.booked_g = booked_g
        if begun:
            # Should the first water be taken back, what it was taken for has moved the weight too.
            return
        if self._moved_g and not kept:
            self.dry_g += self._moved_g
            self._moves = [*self._moves[1 - MOST_MOVES :], (t_s, self._moved_g)]
        self._moved_g = 0.0

    def begin(self, start_s: Seconds, from_g: Grams, events: Sequence[PlatformEvent]) -> Grams:
        """Take the first water, which is known only now to have come at ``start_s`` and begins at
        ``from_g``: what has been set down or taken away since was no part of the dry weight, and
        water that begins below zero counts from where it begins. Return what that adds to the dry
        weight."""
        added_g = 0.0
        if events and events[-1].start_s >= start_s:
            added_g = -sum(moved_g for t_s, moved_g in self._moves if t_s >= start_s)
        self._moves.clear()
        if -MOST_BELOW_G < from_g - added_g < -LEAST_BELOW_G:
            # A hand lay there while the scale was tared, and has let go since.
            added_g = from_g
        self.dry_g += added_g
        self._moved_g -= added_g
        return added_g

    def tared(self, booked_g: Grams) -> None:
        """Take a tare by key, or one that was undone, which moves only what is shown."""
        self.booked_g = booked_g


def in_water(pours: Iterable[Pour], dry_g: Grams, gains: Sequence[Gain] = ()) -> list[Pour]:
    """Return the pours in grams of water.

    ``dry_g`` is the unbroken weight with no water on it. Tares, vessels and touches do not move
    that weight, so one figure serves a brew. ``gains`` were left out of it and are water after all:
    each is added, as unseen, to the pour that ran when it came or had ended last. Of a
    gain that had been lost the pours are put back as they were.
    """
    counted = list(pours)
    if not gains:
        return [_less(pour, dry_g) for pour in counted] if dry_g else counted
    for gain in gains:
        counted = [pour for pour in counted if not among(pour, gain.pours)] + list(gain.pours)
    counted.sort(key=lambda pour: pour.start_s)
    starts_s = [pour.start_s for pour in counted]
    made = []
    for pour, (start_s, next_s) in zip(counted, pairwise([*starts_s, inf]), strict=True):
        before_g = sum(gain.grams for gain in gains if gain.at_s < start_s)
        within_g = sum(
            gain.grams for gain in gains if not gain.lost and start_s <= gain.at_s < next_s
        )
        moved = _less(pour, dry_g - before_g)
        if within_g and moved.end_g is not None:
            unseen_g = moved.unseen_g + within_g
            moved = replace(moved, end_g=moved.end_g + within_g, unseen_g=unseen_g)
        made.append(moved)
    return made


def _less(pour: Pour, dry_g: Grams) -> Pour:
    end_g = None if pour.end_g is None else pour.end_g - dry_g
    return replace(pour, start_g=pour.start_g - dry_g, end_g=end_g)
