"""What the estimator makes of such readings: a value, measured elsewhere on simulated pours."""

from dataclasses import dataclass

from pourcoach.domain.units import Seconds


@dataclass(frozen=True, slots=True)
class JudgingAccuracy:
    """Errors over pours whose truth is known, on a scale of this noise, step and rate."""

    pours: int
    """How many were judged."""
    evenness_error: float
    """Root mean square error of a pour's coefficient of variation of flow."""
    evenness_bias: float
    """Mean error of the same."""
    start_error_s: Seconds
    """Root mean square error of a pour's refined start."""
    pour_s: Seconds
    """How long the pours were, on average: longer ones are judged more surely."""
