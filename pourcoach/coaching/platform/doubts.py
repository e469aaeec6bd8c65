"""What happened to the platform in mid-brew that only the brewer can explain."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import hypot, inf, sqrt
from typing import NamedTuple

from pourcoach.coaching.platform.ending import SURE_LIFT
from pourcoach.coaching.platform.lifts import StandingLift, standing_lift
from pourcoach.domain.estimate import MOVES, Estimate, EventKind, PlatformEvent
from pourcoach.domain.pour import Pour, StagePour
from pourcoach.domain.units import Grams, Seconds

LEAST_GAIN_G: Grams = 10.0
"""A smaller gain is a spoon or a thermometer, and not worth a question."""
LEAST_FIRST_G: Grams = 3.0
"""But a gain just as water begins may be the first of it."""
FIRST_S: Seconds = 0.5
"""How close to the start of a pour such a gain is."""
LEAST_FILLED_G: Grams = 1.0
"""A brewer that comes back heavier by this much may have been poured into, where that is not
counted already: most of what is gained so is."""
LEAST_LOSS_G: Grams = 5.0
"""A smaller loss changes no cup."""
SURE_HAND = 0.99
"""Where a hand let go as surely as this, what was taken for water under it is taken out unasked."""
POURED_S: Seconds = 4.0
"""What came for so long was poured: no hand presses harder and harder for that long. It is asked
about however sure it seems that a hand let go, for a thing of that weight may have been taken
away."""
ASKED_S: Seconds = 15.0
"""How long the brewer is asked about a gain, once no water runs; then it stays what it was taken
for."""
POURED_ON_G: Grams = 5.0
"""A brewer who pours on has seen no need to answer."""
PRESSES_S: Seconds = 5.5
"""No hand presses harder and harder for longer, up to where it holds still (common practice)."""
WENT_G: Grams = 2.0
"""What goes as a hand lets go differs from what came by less: it did not hold quite still."""
SAME_G: Grams = 1.0
"""Hindsight moves the end of a pour by less."""
SAME_S: Seconds = 1.0
"""Hindsight moves the beginning of an event by less."""
_GAINS = (EventKind.PLACED, EventKind.RETURNED)


class Gain(NamedTuple):
    """Weight that was gained or lost at once, and may be water all the same."""

    at_s: Seconds
    grams: Grams
    lost: bool = False
    """Whether it was counted as water until it went."""
    pours: tuple[Pour, ...] = ()
    """Those that it was counted as, on the unbroken weight."""


class Doubts:
    """Follows the events of one brew that leave something open."""

    def __init__(self) -> None:
        self.counted: tuple[Gain, ...] = ()
        """Gains first taken for a vessel or a hand that were water, by the brewer's answer, as long
        as nothing shows that they were a hand after all."""
        self.counted_g: Grams = 0.0
        """Their sum."""
        self.gain: Gain | None = None
        """A gain too large for water, or a loss that may be no hand's, until it is settled."""
        self._answered: tuple[Gain, ...] = ()
        self._events: tuple[PlatformEvent, ...] = ()
        self._asked_s: Seconds | None = None
        self._water_g: Grams = 0.0
        self._settled_s: Seconds = -inf

    def feed(
        self,
        t_s: Seconds,
        estimate: Estimate,
        pours: tuple[Pour, ...],
        water_g: Grams,
        from_s: Seconds,
        *,
        running: bool,
    ) -> bool:
        """Take one moment of a brew that began at ``from_s``, with the ``pours`` of the moment
        before; return whether what is counted has changed. While water runs (``running``) nothing
        is asked, since nothing may hide STOP."""
        events, before = estimate.events, self.counted
        if events is not self._events:
            self._events = events
            self._count([gain for gain in self._answered if _stands(gain, events)])
            gain = _gain(events, max(from_s, self._settled_s))
            gain = gain or _at_its_start(events, estimate.pours, self._settled_s)
            if gain is not None and gain.lost:
                gone = taken_back(pours, estimate.pours)
                left_g = sum(pour.mass_g or 0.0 for pour in estimate.pours if among(pour, gone))
                lost_g = gain.grams or sum(pour.mass_g or 0.0 for pour in gone) - left_g
                gain = Gain(gain.at_s, lost_g, lost=True, pours=gone)
                sure = events[-1].probability >= SURE_HAND and not any(map(_poured, gone))
                if lost_g < LEAST_LOSS_G or sure:
                    gain = None
            if gain is None or self.gain is None or gain.at_s != self.gain.at_s:
                self.gain, self._asked_s = gain, None
        if self.gain is not None and not running:
            if self._asked_s is None:
                self._asked_s, self._water_g = t_s, water_g
            elif t_s - self._asked_s > ASKED_S or water_g - self._water_g > POURED_ON_G:
                self.settle(t_s)
        return len(self.counted) != len(before)

    @property
    def asks(self) -> bool:
        """Whether the gain is asked about now."""
        return self._asked_s is not None

    def count(self, t_s: Seconds) -> bool:
        """Count the gain as water, by the brewer's answer; return whether there was one."""
        if self.gain is None or not self.asks:
            return False
        self._answered = (*self._answered, self.gain)
        self._count([*self.counted, self.gain])
        self.settle(t_s)
        return True

    def _count(self, gains: Sequence[Gain]) -> None:
        self.counted = tuple(gains)
        self.counted_g = sum(gain.grams for gain in gains)

    def dismiss(self, t_s: Seconds) -> None:
        """Leave the gain what it was taken for, if the brewer is asked about it: it was answered
        by another key than the one that counts it."""
        if self.asks:
            self.settle(t_s)

    def settle(self, t_s: Seconds) -> None:
        """Ask no more about anything that happened before ``t_s``."""
        self.gain, self._asked_s, self._settled_s = None, None, t_s

    def may_be_a_hand(self, stages: Sequence[StagePour], t_s: Seconds) -> bool:
        """Whether all the water so far, which only has come in the first stage, may have been a
        hand, for as much went at once and nobody has poured since: unless the scale tared itself,
        of which this says that it is not sure."""
        newest = self._events[-1] if self._events else None
        if newest is None or newest.kind is not EventKind.SCALE_TARE or len(stages) != 1:
            return False
        came_s = stages[0].end_s
        if came_s is None or newest.start_s < came_s - SAME_S or t_s - newest.start_s > ASKED_S:
            return False
        doubted = newest.probability < SURE_HAND and newest.change_g < -LEAST_LOSS_G
        return doubted and _may_be_all(newest, stages[0].pours)

    def with_doubt(self, pours: Iterable[Pour]) -> list[Pour]:
        """Return the pours, each that may have been a hand with an error of its mass that includes
        this."""
        made = list(pours)
        for tare, pour in may_be_hands(self._events, tuple(made)):
            if pour.mass_error_g is not None:
                off_g = tare.change_g * sqrt(tare.probability * (1.0 - tare.probability))
                doubted = replace(pour, mass_error_g=hypot(pour.mass_error_g, off_g))
                made = [doubted if one is pour else one for one in made]
        return made

    def may_be_a_tare(self, lift: StandingLift) -> bool:
        """Whether this lift may as well be the scale's own tare. Where it left the scale at
        another figure than zero, it is a hand's push that is in doubt, and no tare."""
        return any(
            event.kind is EventKind.LIFTED
            and event.to_zero
            and event.start_s == lift.since_s
            and event.probability < SURE_LIFT
            for event in self._events
        )


def _gain(events: tuple[PlatformEvent, ...], from_s: Seconds) -> Gain | None:
    """The last thing that happened, if it is one, and began after ``from_s``."""
    newest = events[-1] if events else None
    if newest is not None and newest.kind is EventKind.LEAN:
        if newest.change_g > -LEAST_LOSS_G or newest.start_s <= from_s:
            return None
        return Gain(newest.start_s, -newest.change_g, lost=True)
    if newest is not None and newest.kind is EventKind.LIFTED and newest.change_g > -SAME_G:
        # Nothing is gone but what was taken for water.
        return Gain(newest.start_s, 0.0, lost=True) if newest.start_s > from_s else None
    if newest is None or newest.kind not in _GAINS:
        return None
    before = next((one for one in reversed(events[:-1]) if one.kind in MOVES), None)
    gain_g = newest.change_g
    if before is not None and before.kind is EventKind.LIFTED and before.start_s > from_s:
        if newest.kind is EventKind.PLACED:
            # Something else came back.
            return None
        if before.probability < SURE_LIFT and not before.to_zero:
            # The scale was commanded to tare on the way, and showed too little of what was lifted.
            return None
        gain_g += before.change_g
    elif newest.kind is EventKind.RETURNED:
        return None
    elif standing_lift([event for event in events[:-1] if event.start_s > from_s]) is not None:
        # The rest of what had been lifted came back.
        return None
    least_g = LEAST_FILLED_G if newest.kind is EventKind.RETURNED else LEAST_GAIN_G
    if gain_g < least_g or newest.start_s <= from_s:
        return None
    return Gain(newest.start_s, gain_g)


def _at_its_start(
    events: Sequence[PlatformEvent], pours: Sequence[Pour], from_s: Seconds
) -> Gain | None:
    """A small gain just as the newest water began."""
    newest = events[-1] if events else None
    if newest is None or newest.kind is not EventKind.PLACED or newest.start_s <= from_s:
        return None
    began = pours and abs(pours[-1].start_s - newest.start_s) < FIRST_S
    return (
        Gain(newest.start_s, newest.change_g) if began and newest.change_g > LEAST_FIRST_G else None
    )


def _stands(gain: Gain, events: Sequence[PlatformEvent]) -> bool:
    """Whether what was gained is still there: a hand that lets go takes it back."""
    return gain.lost or any(
        event.kind in _GAINS and abs(event.start_s - gain.at_s) < SAME_S for event in events
    )


def may_be_hands(
    events: Iterable[PlatformEvent], pours: Sequence[Pour]
) -> list[tuple[PlatformEvent, Pour]]:
    """The tares by the scale itself that are not sure, each with the pour that would have been a
    hand without it: the last before it, if as much went."""
    found: list[tuple[PlatformEvent, Pour]] = []
    for event in events:
        if event.kind is not EventKind.SCALE_TARE or event.probability >= SURE_HAND:
            continue
        before = [one for one in pours if (one.end_s or inf) < event.start_s + SAME_S]
        if before and _may_be_all(event, before[-1:]):
            found.append((event, before[-1]))
    return found


def _may_be_all(tare: PlatformEvent, pours: Sequence[Pour]) -> bool:
    """Whether as much as these brought went with this tare, and came as a hand may press."""
    came_g = sum(pour.mass_g or 0.0 for pour in pours)
    longest_s = max(pour.duration_s or inf for pour in pours)
    return abs(came_g + tare.change_g) < WENT_G and longest_s < PRESSES_S


def _poured(pour: Pour) -> bool:
    return pour.end_s is not None and pour.end_s - pour.start_s >= POURED_S


def taken_back(before: Sequence[Pour], now: Sequence[Pour]) -> tuple[Pour, ...]:
    """The finished pours of before that are there no more, or not wholly."""
    gone: list[Pour] = []
    for pour in before:
        left = next((one for one in now if among(one, (pour,))), None)
        if pour.end_s is None or (
            left is not None and (left.end_g or inf) > (pour.end_g or 0.0) - SAME_G
        ):
            continue
        gone.append(pour)
    return tuple(gone)


def among(pour: Pour, others: Iterable[Pour]) -> bool:
    """Whether it is one of these, though hindsight may have moved its ends."""
    return any(
        pour.start_s < (other.end_s or inf) and other.start_s < (pour.end_s or inf)
        for other in others
    )
