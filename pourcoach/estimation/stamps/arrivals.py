"""When readings arrived, kept beside their stamps for hindsight."""

from bisect import bisect_left, bisect_right

from pourcoach.domain.units import Seconds


class ArrivalLog:
    """Of the readings that nothing but their arrival dates; in order of time."""

    __slots__ = ("_arrivals_s", "_stamps_s")

    def __init__(self) -> None:
        self._stamps_s: list[Seconds] = []
        self._arrivals_s: list[Seconds] = []

    def append(self, stamp_s: Seconds, arrival_s: Seconds) -> None:
        """Stamps must rise."""
        self._stamps_s.append(stamp_s)
        self._arrivals_s.append(arrival_s)

    def between(self, from_s: Seconds, to_s: Seconds) -> tuple[list[Seconds], list[Seconds]]:
        """Stamps with ``from_s <= t <= to_s``, and their arrivals."""
        low, high = bisect_left(self._stamps_s, from_s), bisect_right(self._stamps_s, to_s)
        return self._stamps_s[low:high], self._arrivals_s[low:high]

    def forget(self, before_s: Seconds) -> None:
        """Let go of those before this moment; in lumps, to keep it cheap."""
        if len(self._stamps_s) > 64 and self._stamps_s[len(self._stamps_s) // 2] < before_s:
            low = bisect_left(self._stamps_s, before_s)
            del self._stamps_s[:low], self._arrivals_s[:low]
