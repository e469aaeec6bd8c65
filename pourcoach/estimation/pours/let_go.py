"""Corrects finished pours when the weight falls (some was a hand) or rises again."""

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from pourcoach.domain.pour import Pour
from pourcoach.domain.units import Grams, Seconds
from pourcoach.estimation.platform.fall import DRIES_GPS
from pourcoach.estimation.platform.scene import LETS_GO_S
from pourcoach.estimation.pours.hidden import reckoned
from pourcoach.estimation.pours.record import Record
from pourcoach.estimation.pours.refining import LEAST_POUR_G
from pourcoach.estimation.pours.start_watch import risen_from

# A weight that rises again about as far as it fell, and by no more than this, was pulled down by a
# hand that has let go: nobody pours so little (common practice).
PULLED_G = 12.0
# Water that begins this soon after a weight fell or rose again begins where it had fallen to: what
# the readings that showed either had of it already was no water before (chosen).
BEGINS_S = 2.0
# A pour that ended no longer than this before the weight fell may have run until then.
LONGEST_DIP_S = 0.5
# Levels closer than this are one.
SAME_G = 1.0
# A level that is higher by less is the same, with its noise.
LEAST_RISE_G = 0.5


class Fallen(NamedTuple):
    """A weight that fell."""

    t_s: Seconds
    to_g: Grams
    pours: tuple[Pour, ...]
    """What was taken for water until then."""
    left: tuple[Pour, ...]
    """What was left of it."""
    moved_s: Seconds
    """When it fell, or rose again, last."""
    stayed: int
    """How many were left when it fell; what has come back since may be a hand again."""
    whole: tuple[Pour, ...]
    """What was left, and what has begun since, as it was before any fall."""


class LetGo:
    """Knows what was taken for water above a level that the weight has come down to."""

    __slots__ = ("_record", "fallen")

    def __init__(self, record: Record) -> None:
        self._record = record
        self.fallen: Fallen | None = None
        """The last fall below what was taken for water, until that is settled."""

    def fell(
        self,
        pours: Sequence[Pour],
        t_s: Seconds,
        mass_g: Grams,
        pressed_s: Seconds | None = None,
    ) -> list[Pour]:
        """What is left of finished pours once the weight has come down to ``mass_g``: what lay
        above was a hand's, as far back as a hand may have pressed. ``pressed_s``: since when it has
        certainly pressed and not pulled, None where it may have pulled, infinite where since when
        is not known. What came since then was the hand, however low it had let the weight sink, and
        what had sunk of the water before is back."""
        known, whole = self.fallen, self._whole(pours)
        if pressed_s is not None:
            pours = [one for one in whole if one.start_s < pressed_s]
        lower = sum(t_s - (one.end_s or t_s) < LETS_GO_S for one in pours)
        if known is not None and _same(pours, known.left):
            lower = max(lower, len(pours) - known.stayed)
        left = self._down_to(pours, lower, t_s, mass_g)
        cut = len(left) < len(pours) or (pours and left[-1] is not pours[-1])
        if cut or (pours and (pours[-1].end_g or 0.0) > mass_g + SAME_G):
            before, stayed = tuple(pours), len(left)
            if known is not None and _same(pours, known.left):
                before, stayed = known.pours, min(known.stayed, stayed)
            self.fallen = Fallen(t_s, mass_g, before, tuple(left), t_s, stayed, tuple(whole))
        if pressed_s is not None:
            self.fallen = None
        return left

    def rose(self, pours: Sequence[Pour], t_s: Seconds, mass_g: Grams) -> Sequence[Pour] | None:
        """The weight rests: where it has risen again and nobody has poured, a hand had pulled, and
        these are the pours. None where all stays as it is."""
        fallen = self.fallen
        if fallen is None:
            return None
        poured = pours[len(fallen.left) :]
        if t_s - fallen.t_s > LETS_GO_S or not _same(pours[: len(fallen.left)], fallen.left):
            self.fallen = None
            return None
        least_g, lower = fallen.to_g, len(fallen.pours)
        if fallen.left == fallen.pours:
            lower = 0  # It stands, however little comes back.
        elif fallen.left:
            least_g = max(least_g, fallen.left[-1].end_g or 0.0)
        if mass_g < least_g + LEAST_RISE_G or not fallen.pours:
            return None
        higher = mass_g > (fallen.pours[-1].end_g or 0.0) + SAME_G
        if poured and (
            mass_g - fallen.to_g > PULLED_G or higher or any(one.unseen_g for one in poured)
        ):
            self.fallen = None
            return None
        if higher:
            return None  # Nothing that was pulled comes back heavier: another hand presses.
        risen = self._down_to(fallen.pours, lower, t_s, mass_g)
        self.fallen = fallen._replace(to_g=mass_g, left=tuple(risen), moved_s=t_s)
        return risen

    def began(self, pours: Sequence[Pour], pour: Pour) -> list[Pour]:
        """What is left of finished pours once another has begun soon after the weight fell or rose
        again, and from below where they had brought it: so far it had fallen."""
        fallen = self.fallen
        if (
            fallen is None
            or pour.start_s - fallen.moved_s > BEGINS_S
            or not (pours and _same(pours, fallen.left))
            or pour.start_g > (pours[-1].end_g or 0.0) - LEAST_RISE_G
        ):
            return list(pours)
        return self.fell(pours, pour.start_s, pour.start_g)

    def whole(self, pours: Sequence[Pour]) -> Pour | None:
        """The last of these pours; where it ran until the weight fell, and was cut short for that,
        as it was before, until then."""
        last, fallen = pours[-1] if pours else None, self.fallen
        if fallen is None or not fallen.left or last is not fallen.left[-1]:
            return last
        before, ran_s = fallen.pours[len(fallen.left) - 1], fallen.t_s - LONGEST_DIP_S
        if before is last or (before.end_s or math.inf) < ran_s:
            return last
        return replace(before, end_s=fallen.t_s, end_g=fallen.to_g)

    def _whole(self, pours: Sequence[Pour]) -> list[Pour]:
        """The pours as they were before the weight fell, and fell again while others began."""
        fallen = self.fallen
        if fallen is None or not _same(pours[: len(fallen.left)], fallen.left):
            return list(pours)
        known = {one.start_s: one for one in fallen.whole}
        return [known.get(one.start_s, one) for one in pours]

    def _down_to(
        self, pours: Sequence[Pour], lower: int, t_s: Seconds, mass_g: Grams
    ) -> list[Pour]:
        """What is left of pours above this weight: of the last ``lower`` none, or a part."""
        left = list(pours)
        while lower and left:
            last = left[-2] if len(left) > 1 else None
            if mass_g >= risen_from(left[-1], None, last) + LEAST_POUR_G:
                break
            left.pop()
            lower -= 1
        last = left[-1] if lower and left else None
        if last is None or last.end_s is None or last.end_g is None:
            return left
        fallen = self.fallen
        cut = fallen is not None and fallen.to_g == last.end_g
        rests_s = t_s - (fallen.moved_s if fallen is not None and cut else last.end_s)
        if last.end_g > mass_g + DRIES_GPS * rests_s + LEAST_POUR_G:
            times, grams = self._record.between(last.start_s, last.end_s)
            reached = (t_s for t_s, g in zip(times, grams, strict=True) if g > mass_g)
            left[-1] = _cut(last, next(reached, last.end_s), mass_g)
        return left


def _same(pours: Sequence[Pour], others: Sequence[Pour]) -> bool:
    """Whether these are the same pours, however refined since."""
    return len(pours) == len(others) and (not pours or pours[-1].start_s == others[-1].start_s)


def _cut(pour: Pour, end_s: Seconds, end_g: Grams) -> Pour:
    """The part of a pour that was water, where the rest was a hand; how even nobody can say."""
    return reckoned(replace(pour, unseen_g=end_g - pour.start_g), pour.start_s, end_s, end_g)
