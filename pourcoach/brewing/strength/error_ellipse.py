"""The region in which a measured point lies with 95 % confidence."""

import math
from collections.abc import Sequence

from pourcoach.brewing.strength.measured_brew import Extraction
from pourcoach.domain.units import Percent

# Square root of the 95 % point of chi-squared with two degrees of freedom: -2 ln 0.05.
_SCALE_95 = math.sqrt(-2.0 * math.log(0.05))


def error_ellipse(extraction: Extraction, corners: int = 72) -> Sequence[tuple[Percent, Percent]]:
    """Points (extraction, strength) around the ellipse; they fall together where errors are 0."""
    centre_e, centre_s = extraction.extraction_pct, extraction.strength_pct
    # Cholesky factor of the covariance: the unit circle goes over into the ellipse.
    along = centre_e.error
    shared = extraction.covariance_pct2 / along if along > 0 else 0.0
    across = math.sqrt(max(0.0, centre_s.error**2 - shared**2))
    points = []
    for corner in range(corners):
        angle = 2.0 * math.pi * corner / corners
        x, y = _SCALE_95 * math.cos(angle), _SCALE_95 * math.sin(angle)
        points.append((centre_e.value + along * x, centre_s.value + shared * x + across * y))
    return points
