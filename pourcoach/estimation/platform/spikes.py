"""Single readings far off, which a converter makes and no touch."""

from collections import deque
from collections.abc import Iterator, Sequence

from pourcoach.domain.units import Grams, Seconds

# What converter it is shows over the length of a brew; before anything has been seen, one reading
# in so many is thought to be a spike: cheap boards make one in twenty to one in a hundred, as their
# users report, and most boards none.
SPIKES_OVER_S = 120.0
USUAL_READINGS = 50.0
# A converter that has made none in so many readings makes none (chosen): where most of a group lie
# far off it was touched, and where one does beside others that are off by more than BESIDE_G.
CLEAN_READINGS, CLEAN_FOR_ONE_READINGS = 75.0, 200.0
TOGETHER_SHARE = 0.5
BESIDE_G: Grams = 0.6
# Readings in a row that spikes would make by chance no more often than this, a second, are a touch:
# once in a few hundred brews.
BY_CHANCE_PER_S = 2e-5


class SpikeWatch:
    """Learns how often spikes come, and distinguishes groups of them from touches."""

    __slots__ = ("_count", "_per_s", "_since_s", "_spikes_s")

    def __init__(self, since_s: Seconds, per_s: float | None = None) -> None:
        """``since_s``: when the readings began; ``per_s``: how many spikes a second the whole
        record has, where that is known already."""
        self._since_s, self._per_s = since_s, per_s
        self._count = 0
        self._spikes_s: deque[Seconds] = deque()

    @property
    def any_known(self) -> bool:
        """Whether the converter has made any of late."""
        return bool(self._spikes_s or self._per_s)

    def per_s(self, to_s: Seconds) -> float:
        """How many it has made a second, from the first reading up to this moment."""
        return self._count / max(to_s - self._since_s, SPIKES_OVER_S / USUAL_READINGS)

    def learn(self, times_s: Sequence[Seconds], sides: Sequence[int]) -> None:
        """Those of these readings that lie far off were spikes."""
        spikes_s = [t_s for t_s, side in zip(times_s, sides, strict=True) if side]
        self._spikes_s.extend(spikes_s)
        self._count += len(spikes_s)

    def explain(self, times_s: Sequence[Seconds], sides: Sequence[int], *, beside: bool) -> bool:
        """Whether readings one after the other that lie far off to these sides (``side_of``), at
        least one of them, are rather spikes than a touch; ``beside``: others lie off as well, if
        less.

        Spikes come singly and at random, to either side. Of probability p a reading, they make a
        run of n in a row, to sides given, p^n times in as many readings: in half of them a
        neighbour lies to the same side, as under a touch. One that stands alone, with readings
        beside it that show the weight, is one, for a touch goes on. A converter that has made none
        for long makes none now: then several close together are a touch, and so is one beside
        others that are off.
        """
        if len(sides) == 1:
            return True
        period_s = (times_s[-1] - times_s[0]) / (len(times_s) - 1)
        known = self._known(times_s[0])
        over_s = min(max(times_s[0] - self._since_s, 0.0), SPIKES_OVER_S)
        if self._per_s is not None:
            known, over_s = self._per_s * SPIKES_OVER_S, SPIKES_OVER_S
        seen = over_s / period_s
        if known == 0 and _looks_touched(sides, seen, beside=beside):
            return False
        p = (known + 1.0) / (seen + USUAL_READINGS)
        return all(
            count == 1 or p**count / 2.0**same > BY_CHANCE_PER_S * period_s
            for count, same in _runs(sides)
        )

    def _known(self, t_s: Seconds) -> float:
        """How many it has made in the time before."""
        spikes_s = self._spikes_s
        while spikes_s and spikes_s[0] < t_s - SPIKES_OVER_S:
            spikes_s.popleft()
        return len(spikes_s)


def _looks_touched(sides: Sequence[int], clean: float, *, beside: bool) -> bool:
    """Whether these are a touch of a converter that has made no spike in so many readings."""
    far = sum(side != 0 for side in sides)
    if far == 1:
        return beside and clean > CLEAN_FOR_ONE_READINGS
    return far > TOGETHER_SHARE * len(sides) and clean > CLEAN_READINGS


def lies_beside(offs: Sequence[Grams], sides: Sequence[int]) -> bool:
    """Whether one of these that is not far off does not show the weight either, g."""
    return any(not side and abs(off_g) > BESIDE_G for off_g, side in zip(offs, sides, strict=True))


def side_of(off_g: Grams, far_g: Grams) -> int:
    """To which side it is far off: 1 above, -1 below, 0 where it is not."""
    return 0 if abs(off_g) <= far_g else 1 if off_g > 0.0 else -1


def _runs(sides: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Of readings far off one after the other: how many, and how many lie to the side of the one
    before."""
    count = same = before = 0
    for side in (*sides, 0):
        if side:
            count, same = count + 1, same + (side == before)
        elif count:
            yield count, same
            count = same = 0
        before = side
