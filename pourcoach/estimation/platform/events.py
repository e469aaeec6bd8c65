"""What has happened to the platform, put together from the turns of the paths taken."""

from dataclasses import replace
from math import inf

from pourcoach.domain.estimate import MOVES, Disturbance, EventKind, PlatformEvent
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.hindsight import MOST_PRESSED_G

# Signs of a knock closer together than this are one knock.
JOIN_S = 0.6
# What is put back within this share of what was taken away is the same thing.
SAME_SHARE = 0.1
# Something set down and taken away again so soon was a hand that pressed (common practice).
PRESSED_S = 15.0
BLOW_S = 1.0
# How long a disturbance is said to be in force after its last sign, a jump the longest.
KNOCK_LASTS_S = 0.5
JUMP_LASTS_S = 1.0
_DISTURBANCES = {
    EventKind.KNOCK: Disturbance.KNOCK,
    EventKind.LIFTED: Disturbance.LIFTED,
    EventKind.PLACED: Disturbance.PLACED,
    EventKind.RETURNED: Disturbance.PLACED,
    EventKind.LEAN: Disturbance.LEAN,
}


class EventLog:
    """Grows with the brew; hindsight may change the newest."""

    __slots__ = ("events",)

    def __init__(self) -> None:
        self.events: tuple[PlatformEvent, ...] = ()
        """Oldest first; the same tuple until one comes or changes."""

    def add(self, event: PlatformEvent) -> None:
        """Add an event; a knock soon after another extends it."""
        before = self.events[-1] if self.events else None
        if (
            before is not None
            and event.kind is before.kind is EventKind.KNOCK
            and event.start_s - (before.end_s or before.start_s) < JOIN_S
        ):
            self.events = (*self.events[:-1], replace(before, end_s=event.end_s))
            return
        self.events = (*self.events, event)

    def came_down(self, since_s: Seconds, end_s: Seconds) -> None:
        """A weight that had risen has come down again: a hand, unless it was a spike."""
        before = self.events[-1] if self.events else None
        if (
            before is None
            or before.kind is not EventKind.SPIKE
            or since_s - before.start_s > BLOW_S
        ):
            self.add(PlatformEvent(EventKind.LEAN, since_s, end_s))

    def returned(
        self, start_s: Seconds, end_s: Seconds, change_g: Grams, p: float, shifted_g: Grams
    ) -> None:
        """The platform is as it was before its last vessel came or went. ``change_g`` is what the
        readings changed by, and ``shifted_g`` of it what is not water taken back with a hand."""
        gone_g = -shifted_g
        for place in range(len(self.events) - 1, -1, -1):
            before = self.events[place]
            pressed = before.kind is EventKind.PLACED and _same(before.change_g, gone_g)
            if not (pressed or _undone_by(before, change_g)):
                # Of several hands one lets go after the other.
                gone_g -= before.change_g if before.kind in MOVES else 0.0
                continue
            if before.kind is EventKind.SCALE_TARE:
                before = replace(before, kind=EventKind.LIFTED)
            elif before.kind is EventKind.PLACED and end_s - before.start_s < PRESSED_S:
                short = end_s - before.start_s < BLOW_S
                kind = EventKind.KNOCK if short else EventKind.LEAN
                hand = PlatformEvent(kind, before.start_s, end_s, probability=p)
                later = (one for one in self.events[place + 1 :] if one.kind not in MOVES)
                self.events = (*self.events[:place], hand, *later)
                return
            self.events = (*self.events[:place], before, *self.events[place + 1 :])
            break
        kind = EventKind.RETURNED if change_g > 0.0 else EventKind.LIFTED
        self.add(PlatformEvent(kind, start_s, end_s, change_g, probability=p))

    def let_go(self, rested_s: Seconds | None, start_s: Seconds, end_s: Seconds, p: float) -> bool:
        """A hand has let go, and the platform is as it was at ``rested_s``: what seemed to come and
        go since then was the hand. Returns False where it was more than that, or never rested."""
        if rested_s is None:
            return False
        from_s = rested_s - JOIN_S  # A touch is noticed a little after it began.
        moved = [one for one in self.events if one.start_s >= from_s and one.kind in MOVES]
        since_s = min([start_s, *(one.start_s for one in moved)])
        heavy = any(abs(one.change_g) > MOST_PRESSED_G for one in moved)
        if heavy or end_s - since_s > PRESSED_S:
            return False
        lean = PlatformEvent(EventKind.LEAN, since_s, end_s, probability=p)
        self.events = (*(one for one in self.events if one not in moved), lean)
        return True

    def pressed_s(self, t_s: Seconds) -> Seconds:
        """Since when nothing but a hand had moved the weight that let go at this moment; infinite
        where that is not known, or so short that it may have been a blow as water ran."""
        newest = self.events[-1] if self.events else None
        if newest is None or newest.kind is not EventKind.LEAN or newest.change_g:
            return inf
        pressed = newest.end_s == t_s and t_s - newest.start_s > BLOW_S
        return newest.start_s - JOIN_S if pressed else inf

    def lifted_s(self, before_s: Seconds) -> Seconds:
        """Since when what has come back had been away; ``before_s`` where that is not known."""
        lifted = (one for one in reversed(self.events) if one.kind is EventKind.LIFTED)
        return next((one.start_s for one in lifted), before_s)

    def rewind(self, to_s: Seconds) -> None:
        """Forget what was reported after this moment, which is examined again."""
        while self.events and self.events[-1].start_s > to_s:
            self.events = self.events[:-1]

    def disturbance(self, t_s: Seconds) -> Disturbance | None:
        """Return the disturbance that the newest event still is, if any."""
        if not self.events:
            return None
        newest = self.events[-1]
        if newest.end_s is None or t_s >= newest.end_s + JUMP_LASTS_S:
            return None
        kind = _DISTURBANCES.get(newest.kind)
        over = kind is Disturbance.KNOCK and t_s >= newest.end_s + KNOCK_LASTS_S
        return None if over else kind


def _undone_by(before: PlatformEvent, change_g: Grams) -> bool:
    moved = before.kind in (EventKind.LIFTED, EventKind.PLACED, EventKind.SCALE_TARE)
    return moved and _same(-before.change_g, change_g)


def _same(one_g: Grams, other_g: Grams) -> bool:
    return abs(one_g - other_g) < SAME_SHARE * abs(other_g) + 1.0
