"""Sensitivity and criterion of a yes-or-no judge, from counts.

Signal detection theory with equal variances (Green and Swets 1966): a judge who says yes to a share
H of signals and to a share F of others has the sensitivity d' = z(H) - z(F) and the criterion
c = -(z(H) + z(F)) / 2.
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

from pourcoach.statistics.normal_and_t import NORMAL_95

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Both figures in units of the standard deviation of what the judge perceives."""

    d_prime: float
    """0: signals and others are judged alike."""
    criterion: float
    """Negative: says yes too readily."""
    error: float
    """Standard error of ``d_prime``."""

    @property
    def interval(self) -> tuple[float, float]:
        """95 %, of ``d_prime``."""
        half = NORMAL_95 * self.error
        return self.d_prime - half, self.d_prime + half

    @property
    def criterion_interval(self) -> tuple[float, float]:
        """95 %: z(H) and z(F) are independent, so c has half the standard error of d'."""
        half = NORMAL_95 * self.error / 2
        return self.criterion - half, self.criterion + half


def sensitivity(hits: int, signals: int, false_alarms: int, others: int) -> Sensitivity | None:
    """From counts, by the log-linear rule (Hautus 1995): half an observation is added to each cell,
    always and not only where a share is 0 or 1. None without any signals, or without any others.

    Raises ValueError for counts that cannot be.
    """
    if not (0 <= hits <= signals and 0 <= false_alarms <= others):
        raise ValueError(
            f"{hits} of {signals} signals and {false_alarms} of {others} others cannot be"
        )
    if not signals or not others:
        return None
    hit_share = (hits + 0.5) / (signals + 1)
    false_share = (false_alarms + 0.5) / (others + 1)
    return of_shares(hit_share, signals, false_share, others)


def of_shares(hit_share: float, signals: int, false_share: float, others: int) -> Sensitivity:
    """From shares strictly between 0 and 1, of so many trials.

    The standard error is Gourevitch and Galanter's (1967).
    """
    z_hit, z_false = _STANDARD.inv_cdf(hit_share), _STANDARD.inv_cdf(false_share)
    variance = _variance_of_z(hit_share, signals) + _variance_of_z(false_share, others)
    return Sensitivity(z_hit - z_false, -(z_hit + z_false) / 2, math.sqrt(variance))


def _variance_of_z(share: float, trials: int) -> float:
    density = _STANDARD.pdf(_STANDARD.inv_cdf(share))
    return share * (1 - share) / (trials * density**2)
