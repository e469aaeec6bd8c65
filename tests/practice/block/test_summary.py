"""Several pours together: what can be judged of them is counted, and the rest left out."""

import pytest

from pourcoach.practice.block.result import PourFigure, Result
from pourcoach.practice.block.summary import Summary, summary
from pourcoach.practice.drill.measure import Judged, PourMeasure


def result(poured_g: float | None, estimate_g: float | None = None) -> Result:
    """A pour that was to be 100 g, give or take 5."""
    judged = Judged(PourMeasure.MASS, 5.0, None)
    figure = PourFigure(judged, asked=100.0, band=5.0, poured=poured_g)
    return Result((figure,), stopped_s=20.0, truth=poured_g, estimate=estimate_g)


def test_bias_and_spread_are_of_the_errors_and_the_rest_is_counted() -> None:
    found = summary([result(104.0, 100.0), result(110.0, 108.0), result(None)])
    assert found == Summary(
        pours=3,
        in_band=1,
        judged=2,
        bias=pytest.approx(7.0),
        spread=pytest.approx(18.0**0.5),
        estimate_bias=pytest.approx(-3.0),
    )


def test_one_pour_has_a_bias_and_no_spread() -> None:
    assert summary([result(98.0)]) == Summary(1, 1, 1, pytest.approx(-2.0), None, None)


def test_of_no_pour_nothing_is_known() -> None:
    assert summary([]) == Summary(0, 0, 0, None, None, None)
