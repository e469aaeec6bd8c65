"""How a pour went, as figures."""

import json

import pytest

from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.pour import Pour
from pourcoach.practice.block.made_pours import MadePour
from pourcoach.practice.block.result import Measuring, PourFigure, Result
from pourcoach.practice.block.water_curve import WaterCurve
from pourcoach.practice.drill.measure import Asked, Judged, PourMeasure
from pourcoach.practice.level import Level
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


def test_of_a_stream_through_two_stages_only_the_last_lands() -> None:
    """Two stages without a rest between them are one pour, whose mark is the last one's."""
    stages = (Stage("1", 0.0, 60.0, 6.0), Stage("2", 10.0, 100.0, 4.0))
    plan = Plan(20.0, 5.0, 100.0, 30.0, 60.0, stages)
    made = (MadePour((Pour(3.0, 0.0, end_s=23.0, end_g=103.0),)),)
    landing = tuple(Judged(PourMeasure.LANDING, 8.0, pour) for pour in (1, 2))
    asks = Asked(PourMeasure.MASS, None)
    found = Measuring(plan, made, WaterCurve()).result(landing, asks, Level.BEGINNER)
    assert [(one.asked, one.poured) for one in found.figures] == [(60.0, None), (100.0, 103.0)]
