"""Whether something heavy has been taken off the scale and has not come back."""

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.units import Grams, Seconds

LIFT_G: Grams = 20.0
"""A smaller drop is no brewer taken away: the lightest with a wet bed weigh several times that."""
PUT_BACK_SHARE = 0.05
"""Of the lift: put back so near where it was, nothing has changed. Drips fall meanwhile."""
KEPT_S: Seconds = 5.0
"""A lift is reported no later than this."""
SAME_S: Seconds = 1.0
"""Hindsight moves the beginning of a lift by less."""
EVERY_S: Seconds = 0.1
"""Water is remembered so often."""
_MOVES = (EventKind.LIFTED, EventKind.PLACED, EventKind.RETURNED)


@dataclass(frozen=True, slots=True)
class StandingLift:
    """Something heavy was taken away and has not come back."""

    since_s: Seconds
    down_g: Grams
    """How much is gone."""
    water_g: Grams
    """Water poured before."""
    probability: float = 1.0
    """That it was that, and not a tare by the scale itself."""


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
        """All that has happened, and the water now; what was before ``from_s`` does not count.

        A brewer that is held only drips: where more water came than was taken away, it was none.
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

    def dismiss(self) -> None:
        """It was no lift: the brewer says so."""
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
    """What the last of these events left taken away. What was set down before may go again."""
    added_g: Grams = 0.0
    lift: StandingLift | None = None
    for event in events:
        if event.kind not in _MOVES:
            continue
        if lift is None:
            added_g += event.change_g
            if added_g <= -LIFT_G:
                lift = StandingLift(event.start_s, -added_g, 0.0, event.probability)
            added_g = max(0.0, added_g)
            continue
        down_g = lift.down_g - event.change_g
        if down_g > max(LIFT_G / 2, PUT_BACK_SHARE * lift.down_g):
            lift = StandingLift(lift.since_s, down_g, 0.0, lift.probability)
        else:
            lift = None
    return lift
