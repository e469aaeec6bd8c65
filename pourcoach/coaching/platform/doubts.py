"""What happened to the platform in mid-brew that only the brewer can explain."""

from math import inf
from typing import NamedTuple

from pourcoach.coaching.platform.ending import SURE_LIFT
from pourcoach.coaching.platform.lifts import StandingLift
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.units import Grams, Seconds

LEAST_GAIN_G: Grams = 10.0
"""A smaller gain is a spoon or a thermometer, and not worth a question."""
ASKED_S: Seconds = 15.0
"""How long the brewer is asked about a gain, once no water runs; then it stays what it was taken
for."""
POURED_ON_G: Grams = 5.0
"""A brewer who pours on has seen no need to answer."""
_MOVES = (EventKind.LIFTED, EventKind.PLACED, EventKind.RETURNED)


class Gain(NamedTuple):
    """Weight that was gained at once."""

    at_s: Seconds
    grams: Grams


class Doubts:
    """Follows the events of one brew that leave something open."""

    def __init__(self) -> None:
        self.counted: tuple[Gain, ...] = ()
        """Gains first taken for a vessel that were water, by the brewer's answer."""
        self.counted_g: Grams = 0.0
        """Their sum."""
        self.gain: Gain | None = None
        """A gain too large for water, until it is settled."""
        self._events: tuple[PlatformEvent, ...] = ()
        self._asked_s: Seconds | None = None
        self._water_g: Grams = 0.0
        self._settled_s: Seconds = -inf

    def feed(
        self,
        t_s: Seconds,
        events: tuple[PlatformEvent, ...],
        water_g: Grams,
        from_s: Seconds,
        *,
        running: bool,
    ) -> None:
        """Take one moment of a brew that began at ``from_s``. While water runs (``running``)
        nothing is asked, since nothing may hide STOP."""
        if events is not self._events:
            self._events = events
            gain = _gain(events, max(from_s, self._settled_s))
            if gain is None or self.gain is None or gain.at_s != self.gain.at_s:
                self.gain, self._asked_s = gain, None
        if self.gain is None or running:
            return
        if self._asked_s is None:
            self._asked_s, self._water_g = t_s, water_g
        elif t_s - self._asked_s > ASKED_S or water_g - self._water_g > POURED_ON_G:
            self.settle(t_s)

    @property
    def asks(self) -> bool:
        """Whether the gain is asked about now."""
        return self._asked_s is not None

    def count(self, t_s: Seconds) -> bool:
        """Count the gain as water, by the brewer's answer; return whether there was one."""
        if self.gain is None or not self.asks:
            return False
        self.counted = (*self.counted, self.gain)
        self.counted_g += self.gain.grams
        self.settle(t_s)
        return True

    def settle(self, t_s: Seconds) -> None:
        """Ask no more about anything that happened before ``t_s``."""
        self.gain, self._asked_s, self._settled_s = None, None, t_s

    def may_be_a_tare(self, lift: StandingLift) -> bool:
        """Whether this lift may as well be the scale's own tare."""
        return any(
            event.kind is EventKind.LIFTED
            and event.start_s == lift.since_s
            and event.probability < SURE_LIFT
            for event in self._events
        )


def _gain(events: tuple[PlatformEvent, ...], from_s: Seconds) -> Gain | None:
    """The last thing that happened, if it is one, and began after ``from_s``."""
    newest = events[-1] if events else None
    if newest is None or newest.kind not in (EventKind.PLACED, EventKind.RETURNED):
        return None
    before = next((one for one in reversed(events[:-1]) if one.kind in _MOVES), None)
    gain_g = newest.change_g
    if before is not None and before.kind is EventKind.LIFTED and before.start_s > from_s:
        if newest.kind is EventKind.PLACED:
            # Something else came back.
            return None
        gain_g += before.change_g
    elif newest.kind is EventKind.RETURNED:
        return None
    if gain_g < LEAST_GAIN_G or newest.start_s <= from_s:
        return None
    return Gain(newest.start_s, gain_g)
