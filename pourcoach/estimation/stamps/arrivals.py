"""When readings arrived, kept beside their stamps for hindsight."""

from bisect import bisect_left
from collections.abc import Sequence

from pourcoach.domain.units import Seconds


class ArrivalLog:
    """Of the readings that nothing but their arrival tells the time of; in order of time."""

    __slots__ = ("_arrivals_s", "_stamps_s")

    def __init__(self) -> None:
        self._stamps_s: list[Seconds] = []
        self._arrivals_s: list[Seconds] = []

    def append(self, stamp_s: Seconds, arrival_s: Seconds) -> None:
        """Stamps must rise."""
        self._stamps_s.append(stamp_s)
        self._arrivals_s.append(arrival_s)

    def of(self, stamps_s: Sequence[Seconds]) -> list[Seconds | None]:
        """The arrival of each reading with such a stamp; None where it is not known, or was not
        needed since the scale counts or times its readings."""
        found: list[Seconds | None] = []
        for stamp_s in stamps_s:
            place = bisect_left(self._stamps_s, stamp_s)
            same = place < len(self._stamps_s) and self._stamps_s[place] == stamp_s
            found.append(self._arrivals_s[place] if same else None)
        return found

    def forget(self, before_s: Seconds) -> None:
        """Let go of those before this moment; in lumps, to keep it cheap."""
        if len(self._stamps_s) > 64 and self._stamps_s[len(self._stamps_s) // 2] < before_s:
            low = bisect_left(self._stamps_s, before_s)
            del self._stamps_s[:low], self._arrivals_s[:low]
