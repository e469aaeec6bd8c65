"""Several pours together: bias and spread apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from pourcoach.practice.block.result import Result


@dataclass(frozen=True, slots=True)
class Summary:
    """Of the leading figure. None where there are too few pours."""

    pours: int
    in_band: int
    judged: int
    """Pours of which it could be said whether they were in band."""
    bias: float | None
    """Mean error; over is positive."""
    spread: float | None
    """Standard deviation of the error."""
    estimate_bias: float | None
    """Mean of estimate less truth."""


def summary(results: Sequence[Result]) -> Summary:
    """Of these pours."""
    errors = [r.lead.error for r in results if r.lead.error is not None]
    estimates = [r.estimate_error for r in results if r.estimate_error is not None]
    judged = [r.in_band for r in results if r.in_band is not None]
    return Summary(
        len(results),
        sum(judged),
        len(judged),
        fmean(errors) if errors else None,
        stdev(errors) if len(errors) > 1 else None,
        fmean(estimates) if estimates else None,
    )
