import math

import numpy as np
import pytest

from pourcoach.brewing.strength.error_ellipse import error_ellipse
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import Extraction, MeasuredBrew, work_out_extraction
from pourcoach.brewing.working import Working


def test_lies_on_the_95_per_cent_contour() -> None:
    found = work_out_extraction(
        MeasuredBrew(Measured(20.0, 0.1), Measured(1.3, 0.03), beverage_g=Measured(280.0, 5.0))
    )
    covariance = np.array(
        [
            [found.extraction_pct.error**2, found.covariance_pct2],
            [found.covariance_pct2, found.strength_pct.error**2],
        ]
    )
    centre = np.array([found.extraction_pct.value, found.strength_pct.value])
    inverse = np.linalg.inv(covariance)
    # 95 % point of chi-squared with two degrees of freedom.
    for point in error_ellipse(found):
        off = np.array(point) - centre
        assert off @ inverse @ off == pytest.approx(5.991465, abs=1e-4)


def test_exact_measurements_make_a_point() -> None:
    exact = Extraction(Measured(1.3), Measured(18.2), 0.0, None, None, Working("", "", ""))
    assert set(error_ellipse(exact)) == {(18.2, 1.3)}


def test_independent_errors_make_an_upright_ellipse() -> None:
    upright = Extraction(
        Measured(1.3, 0.1), Measured(18.2, 1.0), 0.0, None, None, Working("", "", "")
    )
    scale = math.sqrt(5.991465)
    points = error_ellipse(upright, corners=4)
    assert points[0] == pytest.approx((18.2 + scale, 1.3), abs=1e-5)
    assert points[1] == pytest.approx((18.2, 1.3 + 0.1 * scale), abs=1e-5)
