"""A straight line by least squares, with the errors of its two numbers."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.errors import UsageError


@dataclass(frozen=True, slots=True)
class LineFit:
    """``y = intercept + slope · x``."""

    slope: float
    intercept: float
    slope_error: float | None
    """One standard error; None with two points, where nothing is left over to estimate it from."""
    intercept_error: float | None
    residual_sd: float | None
    """Standard deviation of the residuals, on n - 2 degrees of freedom."""
    residuals: tuple[float, ...]
    """What was seen less the line, in the order of the points."""
    mean_x: float
    spread_x: float
    """Sum of squared distances of x from its mean."""

    def leverage(self, x: float) -> float:
        """Variance of the line itself at ``x`` over that of one point about it."""
        return 1.0 / len(self.residuals) + (x - self.mean_x) ** 2 / self.spread_x


def fit_line(x: Sequence[float], y: Sequence[float]) -> LineFit:
    """Ordinary least squares of y on x, about the means so that large offsets cost no digits.

    Raises UsageError for fewer than two points or where all x are alike.
    """
    count = len(x)
    if count != len(y) or count < 2:
        raise UsageError("a line needs two points or more", "give pairs of numbers")
    mean_x, mean_y = math.fsum(x) / count, math.fsum(y) / count
    far_x = [value - mean_x for value in x]
    far_y = [value - mean_y for value in y]
    spread_x = math.fsum(value * value for value in far_x)
    if spread_x == 0.0:
        raise UsageError("all points have the same x", "give two loads that differ")
    slope = math.fsum(a * b for a, b in zip(far_x, far_y, strict=True)) / spread_x
    intercept = mean_y - slope * mean_x
    residuals = tuple(b - slope * a for a, b in zip(far_x, far_y, strict=True))
    left = math.fsum(value * value for value in residuals)
    residual_sd = math.sqrt(left / (count - 2)) if count > 2 else None
    slope_error = intercept_error = None
    if residual_sd is not None:
        slope_error = residual_sd / math.sqrt(spread_x)
        intercept_error = residual_sd * math.sqrt(1.0 / count + mean_x * mean_x / spread_x)
    return LineFit(
        slope,
        intercept,
        slope_error,
        intercept_error,
        residual_sd,
        residuals,
        mean_x,
        spread_x,
    )
