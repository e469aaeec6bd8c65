"""Whether something heavy has been taken off the scale and has not come back."""

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf

from pourcoach.domain.estimate import MOVES, PlatformEvent
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds

LIFT_G: Grams = 20.0
"""A smaller drop is no lifted brewer: the lightest with a wet bed weigh several times that."""
PUT_BACK_SHARE = 0.05
"""Share of the lift: put back within this, nothing has changed but what dripped meanwhile."""
KEPT_S: Seconds = 5.0
"""A lift is reported no later than this."""
AFTER_S: Seconds = 2.0
"""A brewer that is held drips from the moment it is lifted; water that begins this much later is
poured on."""
POURED_ON_G: Grams = 5.0
"""So much poured on shows that the brewer still stands there."""
BARE_G: Grams = 3.0
BARE_SHARE = 0.02
"""Share of what was taken away: a platform this near its own zero is bare."""
LEAST_LOAD_G: Grams = 50.0
"""A dry brewer and its server weigh more: a lighter load was not weighed in full."""
SAME_S: Seconds = 1.0
"""Hindsight moves the beginning of a lift by less than this."""
EVERY_S: Seconds = 0.1
"""How often the water is recorded."""


@dataclass(frozen=True, slots=True)
class StandingLift:
    """Something heavy was taken away and has not come back."""

    since_s: Seconds
    down_g: Grams
    """How much is gone."""
    water_g: Grams
    """Water poured before."""
    probability: float = 1.0
    """That it was a lift, and not a tare by the scale itself."""


class Lifts:
    """Follows the vessels of one brew."""

    def __init__(self) -> None:
        self.lift: StandingLift | None = None
        self._events: tuple[PlatformEvent, ...] = ()
        self._outdone_s: Seconds = -inf
        self._water: deque[tuple[Seconds, Grams]] = deque()
        """The water of the last seconds, and the one value before them."""

    def feed(
        self,
        t_s: Seconds,
        events: tuple[PlatformEvent, ...],
        water_g: Grams,
        from_s: Seconds,
    ) -> None:
        """Take all events so far and the water now. Events before ``from_s`` do not count.

        A brewer that is held only drips: if more water comes than was taken away, it was no brewer.
        """
        if events is not self._events:
            self._events = events
            since_s = max(from_s, self._outdone_s)
            lift = standing_lift([event for event in events if event.start_s > since_s])
            known = self.lift
            if lift is not None:
                same = known is not None and abs(known.since_s - lift.since_s) < SAME_S
                before_g = known.water_g if same and known else self._water_at(lift.since_s)
                lift = StandingLift(lift.since_s, lift.down_g, before_g, lift.probability)
            self.lift = lift
        self._remember(t_s, water_g)
        if self.lift is not None and water_g - self.lift.water_g > self.lift.down_g:
            self.dismiss()

    def poured_on(self, pours: Sequence[Pour], unbroken_g: Grams) -> None:
        """Take the pours while water is still to come: if the brewer pours on, it was not lifted.

        ``pours`` are on the unbroken weight, which is ``unbroken_g`` now.
        """
        if self.lift is None or not pours or pours[-1].start_s - self.lift.since_s < AFTER_S:
            return
        newest = pours[-1]
        end_g = unbroken_g if newest.end_g is None else newest.end_g
        if end_g - newest.start_g > POURED_ON_G:
            self.dismiss()

    def reached(self, began_s: Seconds | None) -> None:
        """Take when the water began that has reached the last mark, None until it has: what drips
        from a brewer that was lifted before reaches none."""
        if self.lift is not None and began_s is not None and began_s > self.lift.since_s:
            self.dismiss()

    def dismiss(self) -> None:
        """Forget the lift: it was none of the brewer."""
        if self.lift is not None:
            self._outdone_s, self.lift = self.lift.since_s, None

    def _remember(self, t_s: Seconds, water_g: Grams) -> None:
        water = self._water
        if not water or t_s - water[-1][0] >= EVERY_S:
            water.append((t_s, water_g))
            while len(water) > 1 and water[1][0] < t_s - KEPT_S:
                water.popleft()

    def _water_at(self, t_s: Seconds) -> Grams:
        """The water just before a lift that began then."""
        before_g = self._water[0][1] if self._water else 0.0
        for when_s, water_g in self._water:
            if when_s > t_s:
                break
            before_g = water_g
        return before_g


def standing_lift(events: Sequence[PlatformEvent]) -> StandingLift | None:
    """Return the lift that these events leave standing; None where there is none. What was set down
    before may be taken away again."""
    added_g: Grams = 0.0
    lift: StandingLift | None = None
    for event in events:
        if event.kind not in MOVES:
            continue
        if lift is None:
            added_g += event.change_g
            if added_g <= -LIFT_G:
                lift = StandingLift(event.start_s, -added_g, 0.0, event.probability)
            added_g = max(0.0, added_g)
            continue
        down_g = lift.down_g - event.change_g
        if down_g > max(LIFT_G / 2, PUT_BACK_SHARE * lift.down_g):
            # What stands there now in its place makes it no surer that the rest is away.
            probability = min(lift.probability, event.probability)
            lift = StandingLift(lift.since_s, down_g, 0.0, probability)
        else:
            lift = None
    return lift


def is_bare(
    lift: StandingLift, events: Iterable[PlatformEvent], unbroken_g: Grams, water_g: Grams
) -> bool:
    """Whether nothing stands on the platform any more.

    It is known only if the load was weighed: set down while the scale was watched, or already there
    on a scale that did not show zero. Nor is it bare where water has come since, whatever the scale
    shows by now.
    """
    if water_g - lift.water_g > POURED_ON_G:
        return False
    moved_g = sum(event.change_g for event in events if event.kind in MOVES)
    stands_g = unbroken_g + moved_g
    dry_g = stands_g + lift.down_g - lift.water_g
    return dry_g > LEAST_LOAD_G and abs(stands_g) < BARE_G + BARE_SHARE * lift.down_g
