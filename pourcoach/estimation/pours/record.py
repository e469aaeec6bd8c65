"""Recent data for hindsight: good readings, arrivals of all readings, the fall of the water."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence

from pourcoach.domain.fall import USUAL_FALL, Fall
from pourcoach.domain.units import Grams, Seconds

# This many readings are kept however old they are.
LUMP = 64


class Record:
    """Good readings in order of time, with their weights on the unbroken weight; and the arrivals
    of all readings that nothing but their arrival dates. What nobody will ask for again is let go.
    """

    __slots__ = ("_arrivals_s", "_grams", "_stamps_s", "_times_s", "fall")

    def __init__(self, fall: Fall = USUAL_FALL) -> None:
        self.fall = fall
        """Of the water."""
        self._times_s: list[Seconds] = []
        self._grams: list[Grams] = []
        self._stamps_s: list[Seconds] = []
        self._arrivals_s: list[Seconds] = []

    @property
    def last_s(self) -> Seconds:
        """Time of the newest reading."""
        return self._times_s[-1]

    @property
    def last_g(self) -> Grams:
        """The newest reading."""
        return self._grams[-1]

    def append(self, t_s: Seconds, grams: Grams) -> None:
        """Add a good reading. Times must rise."""
        self._times_s.append(t_s)
        self._grams.append(grams)

    def arrived(self, stamp_s: Seconds, arrival_s: Seconds) -> None:
        """A reading that nothing but its arrival dates, good or not. Stamps must rise."""
        self._stamps_s.append(stamp_s)
        self._arrivals_s.append(arrival_s)

    def between(self, from_s: Seconds, to_s: Seconds) -> tuple[list[Seconds], list[Grams]]:
        """Readings with ``from_s <= t <= to_s``."""
        low = bisect_left(self._times_s, from_s)
        high = bisect_left(self._times_s, to_s)
        if high < len(self._times_s) and self._times_s[high] == to_s:
            high += 1
        return self._times_s[low:high], self._grams[low:high]

    def arrivals_between(
        self, from_s: Seconds, to_s: Seconds
    ) -> tuple[list[Seconds], list[Seconds]]:
        """Stamps with ``from_s <= t <= to_s``, and their arrivals."""
        low, high = bisect_left(self._stamps_s, from_s), bisect_right(self._stamps_s, to_s)
        return self._stamps_s[low:high], self._arrivals_s[low:high]

    def rewind(self, to_s: Seconds) -> None:
        """Forget what came after this moment, which is examined again."""
        high = bisect_right(self._times_s, to_s)
        del self._times_s[high:], self._grams[high:]

    def leave_out(self, from_s: Seconds, to_s: Seconds) -> None:
        """Forget the readings between these moments, which did not show the weight of the water."""
        low, high = bisect_right(self._times_s, from_s), bisect_left(self._times_s, to_s)
        del self._times_s[low:high], self._grams[low:high]

    def forget(self, before_s: Seconds) -> None:
        """Forget readings and arrivals before this moment; in batches, to keep it cheap."""
        times_s, stamps_s = self._times_s, self._stamps_s
        if len(times_s) > LUMP and times_s[len(times_s) // 2] < before_s:
            low = bisect_left(times_s, before_s)
            del times_s[:low], self._grams[:low]
        if len(stamps_s) > LUMP and stamps_s[len(stamps_s) // 2] < before_s:
            low = bisect_left(stamps_s, before_s)
            del stamps_s[:low], self._arrivals_s[:low]


def block_means(
    times_s: Sequence[Seconds], grams: Sequence[Grams], enough_per_s: float
) -> tuple[Sequence[Seconds], Sequence[Grams], int]:
    """Means of as many neighbours as leave at least ``enough_per_s``, and how many those are.

    The oldest readings are left out where it does not come out even.
    """
    lasts_s = times_s[-1] - times_s[0]
    count = max(int((len(times_s) - 1) / lasts_s / enough_per_s), 1) if lasts_s > 0 else 1
    if count == 1:
        return times_s, grams, 1
    starts = range(len(times_s) % count, len(times_s), count)
    return (
        [sum(times_s[i : i + count]) / count for i in starts],
        [sum(grams[i : i + count]) / count for i in starts],
        count,
    )
