"""The variance is the standard library's."""

from random import Random
from statistics import fmean, pvariance

import pytest

from pourcoach.statistics.variance import variance_about


@pytest.mark.parametrize("level", [0.0, 5.0, 1e6])
def test_it_is_the_exact_one(level: float) -> None:
    draw = Random(1)
    figures = [draw.gauss(level, 0.3) for _ in range(200)]
    assert variance_about(fmean(figures), figures) == pytest.approx(pvariance(figures), rel=1e-9)
