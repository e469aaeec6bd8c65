"""Whether something happens to one more often than to others, from few cases."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, fsum

from pourcoach.statistics.binomial import log_choose

_EQUAL = 1e-7
"""Logarithms of chances this near are of equal chances, worked out along two ways."""


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
        return self._as_unlikely_as(self._log_chance(self.hits))

    @property
    def least_p_value(self) -> float:
        """What the most extreme split of as many hits would give."""
        ends = self._possible[0], self._possible[-1]
        return self._as_unlikely_as(min(map(self._log_chance, ends)))

    def _as_unlikely_as(self, log_chance: float) -> float:
        chances = map(self._log_chance, self._possible)
        return min(1.0, fsum(exp(one) for one in chances if one <= log_chance + _EQUAL))

    @property
    def _possible(self) -> range:
        """How many of all hits may be with the one."""
        hits = self.hits + self.other_hits
        return range(max(0, hits - self.other_count), min(self.count, hits) + 1)

    def _log_chance(self, hits: int) -> float:
        """Of so many with the one, and the rest of them with the others."""
        everywhere = self.hits + self.other_hits
        return (
            log_choose(self.count, hits)
            + log_choose(self.other_count, everywhere - hits)
            - log_choose(self.count + self.other_count, everywhere)
        )


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
