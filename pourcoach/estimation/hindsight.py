"""What a whole record has shown of the scale and the platform, used in a second pass over it."""

from collections.abc import Iterable, Sequence
from math import inf
from typing import NamedTuple

from pourcoach.domain.estimate import MOVES, Estimate, EventKind, PlatformEvent
from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.noise.traits import LearntTraits

# A brewer that is held drips from the moment it is lifted: what comes this much later, and is more
# than this, was poured.
DRIPS_S: Seconds = 2.0
POURED_ON_G: Grams = 5.0
# A dry brewer with its server weighs more; less is a hand.
LEAST_LOAD_G: Grams = 50.0
# What is set down afterwards and weighs less is a hand or a spoon, not the brewer.
LEAST_BACK_G: Grams = 20.0
# No hand presses harder (common practice).
MOST_PRESSED_G: Grams = 60.0
# Water that ran for this long was poured, if something has been moved meanwhile that no hand could
# have been: a vessel is rinsed and put back empty. Without that, a hand that presses for as long is
# rare, yet a thing that weighs just what was poured is rarer, up to the longer time (common
# practice).
POURED_S: Seconds = 4.0
LONG_POURED_S: Seconds = 10.0
# Masses closer than this are equal.
SAME_G: Grams = 1.0
# The same event may begin a little earlier or later in the second pass.
SAME_S: Seconds = 1.0
# A path is the less certain of two if its doubt is larger by more than this (chosen).
MORE_DOUBT = 0.05
# The brewer has been asked about what is so far from certain, and no other path is believed for
# being nearly as likely (chosen).
OPEN_DOUBT = 0.1


class Hindsight(NamedTuple):
    """What is known at the end of a record that was not known in the course of it."""

    traits: LearntTraits
    spikes_per_s: float
    """Spikes of the converter per second."""
    tares_s: tuple[Seconds, ...]
    """The starts of what looked like lifts of everything and were tares by the scale itself."""
    hands_s: tuple[tuple[Seconds, Seconds], ...] = ()
    """Stretches after which the scale read what it had read before: a hand lay there."""

    @property
    def decides(self) -> bool:
        """Whether it says what happened, and not only what the scale is like."""
        return bool(self.tares_s or self.hands_s)

    def joined(self, other: "Hindsight") -> "Hindsight":
        """Return the same with what the other says happened, too."""
        return self._replace(
            tares_s=self.tares_s + other.tares_s, hands_s=self.hands_s + other.hands_s
        )

    def left_nothing(self, from_s: Seconds, to_s: Seconds) -> bool:
        """Whether any of the time between these moments lies in such a stretch."""
        return any(from_s < end_s and start_s < to_s for start_s, end_s in self.hands_s)

    def was_tare(self, start_s: Seconds) -> bool:
        """Whether a lift to zero that began then was a tare."""
        return any(abs(start_s - one_s) < SAME_S for one_s in self.tares_s)


def same_path(one: Estimate, other: Estimate) -> bool:
    """Whether two last Estimates of a record say that the same has happened, give or take what
    noise does to it."""
    events, pours = one.events, one.pours
    return (
        [event.kind for event in events] == [event.kind for event in other.events]
        and len(pours) == len(other.pours)
        and all(
            abs(event.change_g - again.change_g) < SAME_G
            for event, again in zip(events, other.events, strict=True)
        )
        and all(
            abs((pour.mass_g or 0.0) - (again.mass_g or 0.0)) < SAME_G
            for pour, again in zip(pours, other.pours, strict=True)
        )
    )


def is_doubtful(one: Estimate, beside: Estimate) -> bool:
    """Whether what one last Estimate of a record says has happened is less certain than what the
    other says: by its events and, where those are as certain, by the number of pours whose mass it
    states no error for."""
    doubt, doubt_beside = _doubt(one), _doubt(beside)
    if abs(doubt - doubt_beside) > MORE_DOUBT or doubt_beside > OPEN_DOUBT:
        return doubt > doubt_beside
    return _unknown(one) > _unknown(beside)


def _doubt(estimate: Estimate) -> float:
    """The expected number of its events that were something else."""
    return sum(1.0 - event.probability for event in estimate.events)


def _unknown(estimate: Estimate) -> int:
    """Return the number of its pours whose mass has no stated error."""
    return sum(pour.mass_error_g is None for pour in estimate.pours)


def hands_among(
    stretches: Iterable[tuple[Seconds, Seconds]],
    events: Sequence[PlatformEvent],
    pours: Sequence[Pour],
) -> tuple[tuple[Seconds, Seconds], ...]:
    """Return the stretches in which no water ran for so long that it must have been poured; in the
    others something as heavy as that water was taken away."""
    found: list[tuple[Seconds, Seconds]] = []
    for from_s, to_s in stretches:
        heavy = any(
            abs(one.change_g) > MOST_PRESSED_G and from_s < one.start_s < to_s
            for one in events
            if one.kind in MOVES
        )
        ran_s = (min(to_s, one.end_s or inf) - max(from_s, one.start_s) for one in pours)
        if not any(one_s > (POURED_S if heavy else LONG_POURED_S) for one_s in ran_s):
            found.append((from_s, to_s))
    return tuple(found)


def tares_among(
    events: Sequence[PlatformEvent], commanded_s: Sequence[Seconds], pours: Sequence[Pour]
) -> tuple[Seconds, ...]:
    """Return the starts of lifts that left the scale at zero, or that came when it was commanded to
    tare (``commanded_s``), if nothing was put back though water was poured on later: what that was
    poured into had stood there all the time, and the scale had tared itself."""
    found: list[Seconds] = []
    for place, event in enumerate(events):
        to_zero = event.to_zero or event.start_s in commanded_s
        if event.kind is not EventKind.LIFTED or not to_zero or event.change_g > -LEAST_LOAD_G:
            continue
        back_g = sum(one.change_g for one in events[place + 1 :] if one.kind in MOVES)
        poured = any(
            pour.start_s > event.start_s + DRIPS_S and (pour.mass_g or 0.0) > POURED_ON_G
            for pour in pours
        )
        if poured and back_g < LEAST_BACK_G:
            found.append(event.start_s)
    return tuple(found)
