"""Whether something happens to one more often than to others, from few cases."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb


@dataclass(frozen=True, slots=True)
class TwoShares:
    """``hits`` of ``count`` with one, ``other_hits`` of ``other_count`` with the others."""

    hits: int
    count: int
    other_hits: int
    other_count: int

    @property
    def p_value(self) -> float:
        """That they differ so far or further by chance: Fisher's exact test, two-sided, summing
        what is as unlikely or more (Fisher 1934)."""
        seen = self._ways(self.hits)
        # Whole numbers, so that equal chances are equal.
        unlikely = sum(ways for hits in self._possible if (ways := self._ways(hits)) <= seen)
        return unlikely / comb(self.count + self.other_count, self._all_hits)

    @property
    def least_p_value(self) -> float:
        """What the most extreme split of as many hits would give."""
        least = self._possible[0], self._possible[-1]
        fewest = min(map(self._ways, least))
        unlikely = sum(ways for hits in set(least) if (ways := self._ways(hits)) <= fewest)
        return unlikely / comb(self.count + self.other_count, self._all_hits)

    @property
    def _all_hits(self) -> int:
        return self.hits + self.other_hits

    @property
    def _possible(self) -> range:
        fewest = max(0, self._all_hits - self.other_count)
        return range(fewest, min(self.count, self._all_hits) + 1)

    def _ways(self, hits: int) -> int:
        return comb(self.count, hits) * comb(self.other_count, self._all_hits - hits)


def differ(shares: Sequence[TwoShares], level: float = 0.05) -> list[bool]:
    """Which of many comparisons differ, so that with chance alone the probability of one false
    answer or more among all of them is at most ``level``.

    A comparison too small to differ whatever comes out costs the others nothing (Tarone 1990).
    """
    least = [one.least_p_value for one in shares]
    tests = next(
        (
            number
            for number in range(1, len(shares) + 1)
            if sum(p_value <= level / number for p_value in least) <= number
        ),
        1,
    )
    return [one.p_value <= level / tests for one in shares]
