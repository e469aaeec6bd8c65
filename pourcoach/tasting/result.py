"""What the answers of a difference test show, and what they could have shown."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.statistics.binomial import at_least, interval
from pourcoach.tasting.method import Method

ALPHA = 0.05
"""The risk taken of finding a difference where there is none: the usual choice in ISO 4120."""
CONFIDENCE = 0.95
ASKED_PD = (0.3, 0.4, 0.5)
"""Shares of people who can taste the difference, at which the power is given: a medium and a
large difference in the classes of ISO 4120 (25-35 % is medium, above is large)."""
MOST_ANSWERS = 10_000


@dataclass(frozen=True, slots=True)
class DifferenceResult:
    """Of one test. ``pd`` is the share of tasters who taste the difference, guessing taken off."""

    method: Method
    correct: int
    of: int
    two_sided: bool
    p_value: float
    """Exact: how often guessing alone does as well."""
    pd: float
    """0 where fewer were right than by guessing."""
    pd_error: float
    """Standard error of ``pd``."""
    pd_low: float
    pd_high: float
    """The 95 % interval of Clopper & Pearson, mapped; at least 0."""
    needed: int | None
    """The least number of right answers that would have been a finding; None where even all of
    them would not."""
    power_at_pd: Mapping[float, float]
    """How often a test of this size finds a difference that such a share can taste."""

    @property
    def found(self) -> bool:
        """Whether guessing alone does as well in at most ALPHA of all tests."""
        return self.p_value <= ALPHA


def difference_result(
    method: Method, correct: int, of: int, *, two_sided: bool = False
) -> DifferenceResult:
    """``correct`` answers of ``of``. ``two_sided`` is for a paired comparison whose answer was not
    expected beforehand: ``correct`` is then how often either sample was chosen.

    Raises UsageError for numbers that no test gives, and for a two-sided test of another kind.
    """
    if not 1 <= of <= MOST_ANSWERS:
        raise UsageError(f"{of} answers are no test", f"there must be 1 to {MOST_ANSWERS}")
    if not 0 <= correct <= of:
        raise UsageError(f"{correct} right answers of {of} cannot be", f"give 0 to {of}")
    if two_sided and method is not Method.PAIRED:
        raise UsageError(
            f"a {method.value} test has one right answer", "only a paired comparison has two sides"
        )
    chance = method.chance
    # Either sample may be the one chosen more often: the larger count is looked at.
    counted = max(correct, of - correct) if two_sided else correct
    share = counted / of
    low, high = interval(counted, of, CONFIDENCE)
    needed = least_to_find(method, of, two_sided=two_sided)
    return DifferenceResult(
        method=method,
        correct=correct,
        of=of,
        two_sided=two_sided,
        p_value=_p_value(chance, correct, of, two_sided=two_sided),
        pd=_tasting(share, chance),
        pd_error=math.sqrt(share * (1.0 - share) / of) / (1.0 - chance),
        pd_low=_tasting(low, chance),
        pd_high=_tasting(high, chance),
        needed=needed,
        power_at_pd={pd: power(method, of, pd, two_sided=two_sided) for pd in ASKED_PD},
    )


def least_to_find(
    method: Method, of: int, *, alpha: float = ALPHA, two_sided: bool = False
) -> int | None:
    """The least number of right answers that guessing reaches in at most ``alpha`` of all tests;
    None where even all right would not do."""
    least, beyond = math.ceil(of / 2 if two_sided else 0), of + 1
    # The more are right, the less often guessing does as well.
    while least < beyond:
        middle = (least + beyond) // 2
        if _p_value(method.chance, middle, of, two_sided=two_sided) <= alpha:
            beyond = middle
        else:
            least = middle + 1
    return least if least <= of else None


def power(
    method: Method, of: int, pd: float, *, alpha: float = ALPHA, two_sided: bool = False
) -> float:
    """How often ``of`` answers find a difference that the share ``pd`` of people can taste."""
    needed = least_to_find(method, of, alpha=alpha, two_sided=two_sided)
    if needed is None:
        return 0.0
    right = method.chance + pd * (1.0 - method.chance)
    beyond = at_least(needed, of, right)
    return beyond + (at_least(needed, of, 1.0 - right) if two_sided else 0.0)


def _p_value(chance: float, correct: int, of: int, *, two_sided: bool) -> float:
    if not two_sided:
        return at_least(correct, of, chance)
    return min(1.0, 2.0 * at_least(max(correct, of - correct), of, chance))


def _tasting(share: float, chance: float) -> float:
    return max(0.0, (share - chance) / (1.0 - chance))
