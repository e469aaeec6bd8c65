"""How a pour went, as figures."""

import json

import pytest

from pourcoach.practice.block.result import PourFigure, Result
from pourcoach.practice.drill.measure import Judged, PourMeasure
from tests.practice.driven import driven, short_readings, short_task

FLOW = Judged(PourMeasure.FLOW, 0.1, 1)
MARK = Judged(PourMeasure.LANDING, 5.0, 1)


def _result(*figures: PourFigure) -> Result:
    return Result(figures, 30.0, 150.0, 140.0)


def test_it_goes_through_json_and_back() -> None:
    attempt, _ = driven(*short_task(), short_readings())
    assert attempt.result is not None
    assert Result.from_dict(json.loads(json.dumps(attempt.result.as_dict()))) == attempt.result


def test_one_figure_out_of_band_is_enough_and_the_farthest_is_named() -> None:
    near = PourFigure(FLOW, 5.0, 0.5, 5.6)
    far = PourFigure(MARK, 150.0, 5.0, 170.0)
    assert _result(near, far).in_band is False
    assert _result(near, far).worst is far


def test_what_could_not_be_judged_spoils_no_band() -> None:
    good = PourFigure(MARK, 150.0, 5.0, 151.0)
    unseen = PourFigure(FLOW, 5.0, 0.5, None)
    assert _result(good, unseen).in_band is True
    assert _result(good, unseen).complete is False
    assert _result(unseen).in_band is None


def test_a_pour_that_was_not_made_is_out_of_band() -> None:
    missing = PourFigure(MARK, 150.0, 5.0, None, missing=True)
    assert _result(missing).in_band is False
    assert _result(missing).worst is missing
    assert _result(missing).complete is True


def test_the_estimate_is_held_against_the_truth() -> None:
    assert _result(PourFigure(MARK, 150.0, 5.0, 150.0)).estimate_error == pytest.approx(-10.0)
