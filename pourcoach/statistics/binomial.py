"""Exact binomial probabilities, by summing terms: no approximation and no table."""

import math

# A probability is known to about 1e-15; halving [0, 1] fifty times gets there.
_HALVINGS = 50


def at_least(k: int, n: int, p: float) -> float:
    """P(X >= k) for X binomial with ``n`` trials and probability ``p``."""
    if k <= 0:
        return 1.0
    if k > n:
        return 0.0
    if not 0.0 < p < 1.0:
        return 1.0 if p >= 1.0 else 0.0
    log_p, log_q = math.log(p), math.log1p(-p)
    terms = (
        math.exp(log_choose(n, x) + x * log_p + (n - x) * log_q) for x in range(min(k, n), n + 1)
    )
    return min(1.0, math.fsum(terms))


def interval(k: int, n: int, confidence: float) -> tuple[float, float]:
    """The interval of a proportion of ``k`` in ``n`` by Clopper & Pearson (1934): no true
    proportion misses it more often than 1 - ``confidence``."""
    tail = (1.0 - confidence) / 2.0
    low = 0.0 if k == 0 else _solve(k, n, tail)
    # P(X <= k) = tail is P(X >= k + 1) = 1 - tail.
    high = 1.0 if k == n else _solve(k + 1, n, 1.0 - tail)
    return low, high


def _solve(k: int, n: int, wanted: float) -> float:
    """The p at which P(X >= k) is ``wanted``; it rises with p."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if at_least(k, n, middle) < wanted:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def log_choose(n: int, k: int) -> float:
    """The natural logarithm of how many ways there are to choose ``k`` of ``n``."""
    return math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)
