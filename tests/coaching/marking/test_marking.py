"""Brews held against a rubric: criteria met, with figures."""

from dataclasses import replace
from typing import Any

import pytest

from pourcoach.coaching.marking.marking import Marks, mark
from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, Measure, read_rubric
from pourcoach.domain.inputs import Finish
from pourcoach.domain.plan import Plan
from tests.coaching.conftest import grams, seconds

Brew = Any
RUBRIC = read_rubric(DEFAULT_RUBRIC)
SHARE = 0.0025
"""How near a share is known: the noise of a reading, twice, to the 40 g of the bloom."""


def values(marks: Marks, measure: Measure) -> list[float | None]:
    return [one.value for one in marks.marks if one.criterion.measure is measure]


def missed(marks: Marks) -> list[tuple[str, str | None]]:
    return [(one.criterion.title, one.stage) for one in marks.marks if one.met is False]


def test_a_brew_to_plan_meets_all(brew: Brew, plan: Plan) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).until(152).key(Finish(152.0))
    marks = mark(brew.frames[-1], plan, RUBRIC)
    assert missed(marks) == []
    assert (marks.met, marks.judged, marks.met_share) == (12, 12, 1.0)


def test_figures_are_given_stage_by_stage(brew: Brew, plan: Plan) -> None:
    brew.pour_to(50).until(36).pour_to(150).until(86).pour_to(252).rest(3)
    marks = mark(brew.close(), plan, RUBRIC)
    assert values(marks, Measure.BLOOM_SHARE) == pytest.approx([1.25], abs=SHARE)
    assert values(marks, Measure.BLOOM_WAIT_OFF_S) == seconds([4.0])
    assert values(marks, Measure.LANDING_OFF_SHARE) == pytest.approx([5 / 140, 12 / 240], abs=SHARE)
    assert values(marks, Measure.START_OFF_S) == seconds([14.0])
    assert values(marks, Measure.WATER_OFF_SHARE) == pytest.approx([0.05], abs=SHARE)
    assert missed(marks) == [
        ("Bloom water", "bloom"),
        ("On time", "pour 2"),
        ("Total water", None),
    ]


def test_a_time_that_nobody_reported_is_not_judged(brew: Brew, plan: Plan) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).rest(3)
    marks = mark(brew.close(), plan, RUBRIC)
    assert values(marks, Measure.BREW_OFF_SHARE) == [None]


def test_a_stage_left_out_is_not_met(brew: Brew, plan: Plan) -> None:
    brew.pour_to(40).until(32).pour_to(140).rest(3)
    marks = mark(brew.close(), plan, RUBRIC)
    assert values(marks, Measure.LANDING_OFF_SHARE) == [pytest.approx(0.0, abs=SHARE), None]
    assert ("Landing", "pour 2") in missed(marks)


def test_a_stall_misses_its_criterion(brew: Brew, plan: Plan) -> None:
    brew.pour_to(40).until(32).pour_to(90).rest(2).pour_to(140).until(72).pour_to(240).rest(3)
    marks = mark(brew.close(), plan, RUBRIC)
    assert missed(marks) == [("No stall", None)]


def test_the_same_brew_under_another_rubric(brew: Brew, plan: Plan) -> None:
    brew.pour_to(40).until(32).pour_to(145).until(72).pour_to(240).rest(3)
    frame = brew.close()
    strict = read_rubric(
        '[[criterion]]\nmeasure = "landing_off_g"\nleast = -2\nmost = 2\n'
        '[[criterion]]\nmeasure = "flow_off_share"\nleast = -0.1\nmost = 0.1'
    )
    assert missed(mark(frame, plan, RUBRIC)) == []
    assert missed(mark(frame, plan, strict)) == [("landing_off_g", "pour 1")]


def test_without_a_plan_what_needs_one_is_left_out(new_brew: Any) -> None:
    brew = new_brew(None).pour_to(40).rest(20).pour_to(140).rest(3)
    marks = mark(brew.close(), None, RUBRIC)
    assert {one.criterion.title for one in marks.marks} == {
        *("Even flow", "No stall", "No surge"),
    }


def test_a_recording_that_stops_in_the_bloom_meets_no_more_than_was_seen(
    brew: Brew, plan: Plan
) -> None:
    marks = mark(brew.pour_to(40).rest(3).close(), plan, RUBRIC)
    met = [one.criterion.title for one in marks.marks if one.met]
    assert met == ["Bloom water", "Even flow"]
    assert marks.met_share is not None
    assert marks.met_share < 0.25


def test_a_brew_without_water_has_no_marks(brew: Brew, plan: Plan) -> None:
    assert mark(brew.rest(20.0).close(), plan, RUBRIC).marks == ()


def test_a_landing_on_the_mark_as_worked_out_again_is_met_and_says_so(
    brew: Brew, plan: Plan
) -> None:
    brew.pour_to(40).until(32).pour_to(160).until(72).pour_to(240).rest(3)
    marks = mark(brew.close(), plan, RUBRIC)
    assert ("Landing", "pour 1") in missed(marks)
    brew = type(brew)(plan).rest(2.0)
    brew.pour_to(60).until(32).pour_to(150).until(72).pour_to(240).rest(3)
    marks = mark(brew.close(), plan, RUBRIC)
    (first, _) = [one for one in marks.marks if one.criterion.measure is Measure.LANDING_OFF_SHARE]
    assert first.met
    assert first.replan is not None
    assert (first.replan.stage, first.replan.off_g) == ("bloom", grams(20.0))


def test_stages_of_one_name_are_distinguished(plan: Plan, new_brew: Any) -> None:
    stages = tuple(replace(one, name="pour") for one in plan.stages)
    plan = replace(plan, stages=stages)
    assert [one.name for one in plan.stages] == ["pour (1)", "pour (2)", "pour (3)"]
    brew = new_brew(plan).pour_to(40).until(32).pour_to(140).until(72).pour_to(260).rest(3)
    frame = brew.close()
    assert [stage.index for stage in frame.pour.stages] == [0, 1, 2]
    assert missed(mark(frame, plan, RUBRIC)) == [("Landing", "pour (3)"), ("Total water", None)]


def test_marks_go_to_json(brew: Brew, plan: Plan) -> None:
    brew.pour_to(40).rest(3)
    data = mark(brew.close(), plan, RUBRIC).as_dict()
    assert (data["met"], data["judged"], data["not_seen"]) == (2, 10, 8)
    assert data["met_share"] == pytest.approx(3 / 13, abs=1e-4)
    assert data["criteria"][0] == {
        "title": "Bloom water",
        "measure": "bloom_share",
        "least": 0.8,
        "most": 1.2,
        "stage": "bloom",
        "value": pytest.approx(1.0, abs=SHARE),
        "met": True,
        "seen": True,
        "error": 0.0,
        "replanned": False,
        "weight": 1.0,
    }


@pytest.mark.parametrize(
    ("flow_cv", "error", "met"),
    [
        (0.19, 0.0, True),
        (0.35, 0.01, False),
        (0.35, 0.3, None),
        (0.19, 0.3, True),
        (0.21, 0.0, False),
    ],
)
def test_a_figure_beyond_its_bound_by_less_than_its_error_is_neither_met_nor_missed(
    brew: Brew, plan: Plan, flow_cv: float, error: float, met: bool | None
) -> None:
    frame = brew.pour_to(40).rest(3).close()
    (bloom,) = frame.pour.stages
    bloom = replace(bloom, flow_cv=flow_cv, flow_cv_error=error)
    frame = frame._replace(pour=frame.pour._replace(stages=(bloom,)))
    (even,) = [
        one for one in mark(frame, plan, RUBRIC).marks if one.criterion.measure is Measure.FLOW_CV
    ]
    assert (even.met, even.unsure) == (met, met is None)


def test_a_recording_that_broke_off_in_a_pour_blames_no_hand(brew: Brew, plan: Plan) -> None:
    brew.pour_to(40).until(32).pour_to(90)
    frame = brew.close()
    marks = mark(frame, plan, RUBRIC)
    assert frame.flags == ()
    assert values(marks, Measure.BLOOM_SHARE) == pytest.approx([1.0], abs=SHARE)
    assert values(marks, Measure.LANDING_OFF_SHARE) == [None, None]
    assert values(marks, Measure.WATER_OFF_SHARE) == [None]


def test_nor_does_one_that_broke_off_in_the_bloom(brew: Brew, plan: Plan) -> None:
    frame = brew.pour_to(20).close()
    assert frame.flags == ()
    assert values(mark(frame, plan, RUBRIC), Measure.BLOOM_SHARE) == [None]


def test_a_brew_time_is_not_seen_where_the_recording_broke_off(brew: Brew, plan: Plan) -> None:
    rubric = read_rubric('[[criterion]]\nmeasure = "brew_s"\nmost = 200')
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).until(152).key(Finish(152.0))
    (whole,) = mark(brew.frames[-1], plan, rubric).marks
    assert (whole.value, whole.seen) == (seconds(150.0), True)
    (broken,) = mark(type(brew)(plan).rest(2.0).pour_to(40).close(), plan, rubric).marks
    assert (broken.value, broken.seen) == (None, False)
