"""Whether figures rise or fall: how many pairs do, less how many do not."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import comb, factorial, sqrt
from statistics import NormalDist

MOST_EXACT = 60
"""Above it the normal approximation is as good as exact; common practice asks for it from 10 on."""


@dataclass(frozen=True, slots=True)
class Kendall:
    """The statistic S of Mann (1945) and Kendall, and what it is worth."""

    s: int
    """Pairs that rise less pairs that fall."""
    variance: float
    """Of S where there is no trend, equal figures allowed for."""
    z: float
    """S in standard deviations, brought nearer to 0 by one pair (correction for continuity)."""
    p_value: float
    """Two-sided: exact without equal figures, else by the normal distribution."""


def mann_kendall(figures: Sequence[float], times: Sequence[float] | None = None) -> Kendall:
    """Of figures at ``times``; in the order of time where none are given. Raises ValueError for
    fewer than two.
    """
    if len(figures) < 2:
        raise ValueError("fewer than two figures")
    times = range(len(figures)) if times is None else times
    s = sum(
        _sign(later[0] - earlier[0]) * _sign(later[1] - earlier[1])
        for earlier, later in combinations(zip(times, figures, strict=True), 2)
    )
    variance = s_variance(times, figures)
    z = 0.0 if s == 0 or variance <= 0.0 else (s - _sign(s)) / sqrt(variance)
    tied = len(set(figures)) < len(figures) or len(set(times)) < len(times)
    if tied or len(figures) > MOST_EXACT:
        p_value = 1.0 if variance <= 0.0 else 2.0 * NormalDist().cdf(-abs(z))
    else:
        p_value = min(1.0, 2.0 * s_at_least(abs(s), len(figures)))
    return Kendall(s, variance, z, p_value)


def s_variance(times: Sequence[float], figures: Sequence[float]) -> float:
    """Of S where there is no trend, equal times and equal figures allowed for.

    Source: Kendall, Rank Correlation Methods (from memory).
    """
    count = len(figures)
    some, others = Counter(times).values(), Counter(figures).values()
    variance = (_cubic(count) - sum(map(_cubic, some)) - sum(map(_cubic, others))) / 18.0
    pairs = sum(n * (n - 1) for n in some) * sum(n * (n - 1) for n in others)
    variance += pairs / (2.0 * count * (count - 1))
    if count > 2:
        threes = sum(n * (n - 1) * (n - 2) for n in some)
        threes *= sum(n * (n - 1) * (n - 2) for n in others)
        variance += threes / (9.0 * count * (count - 1) * (count - 2))
    return variance


def s_at_least(s: int, count: int) -> float:
    """P(S >= s) of ``count`` different figures in an order of chance."""
    # S = pairs - 2 inversions.
    most_inversions = (comb(count, 2) - s) // 2
    ways = _inversions(count)
    return sum(ways[: most_inversions + 1]) / factorial(count) if most_inversions >= 0 else 0.0


@lru_cache(maxsize=MOST_EXACT)
def _inversions(count: int) -> tuple[int, ...]:
    """How many orders of ``count`` things have 0, 1, 2 … pairs the wrong way round."""
    ways = [1]
    for things in range(2, count + 1):
        longer = [0] * (len(ways) + things - 1)
        for inversions, number in enumerate(ways):
            for more in range(things):
                longer[inversions + more] += number
        ways = longer
    return tuple(ways)


def _cubic(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def _sign(value: float) -> int:
    return (value > 0) - (value < 0)
