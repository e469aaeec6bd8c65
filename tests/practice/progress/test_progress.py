"""Skill from tests alone."""

from dataclasses import replace
from datetime import timedelta
from statistics import fmean, stdev

import pytest

from pourcoach.practice.assignment import Mode
from pourcoach.practice.course import DueTest
from pourcoach.practice.drill.measure import PourMeasure
from pourcoach.practice.progress.next_drill import Because, next_drill
from pourcoach.practice.progress.progress import PourRecord, nothing_yet, progress, true_tests
from pourcoach.practice.schedule import Part, Place
from tests.practice.progress.learner import FOLLOWS, LEARNS, START, Student, trained

DAY = timedelta(days=1)
PRACTICE = Place(Part.BLOCK, 1, 1, 5, result=True)
TEST = Place(Part.TEST)


def _tested(pours: int = 4, *, wait: timedelta = DAY) -> list[PourRecord]:
    student = Student(FOLLOWS, 1)
    student.pour(PRACTICE, START)
    for _ in range(pours):
        student.pour(TEST, START + wait)
    return student.records


def test_bias_and_spread_are_those_of_the_tests_with_their_interval() -> None:
    records = _tested(6)
    (found,) = progress(records)
    errors = [record.error for record in records[1:] if record.error is not None]
    assert found.tests == 6
    assert found.bias == pytest.approx(fmean(errors))
    assert found.spread == pytest.approx(stdev(errors))
    assert found.interval is not None
    low, high = found.interval
    # t of 5 degrees of freedom at 97.5 %: 2.571.
    assert high - low == pytest.approx(2 * 2.571 * stdev(errors) / 6**0.5, rel=1e-3)


def test_tests_without_any_error_have_an_error_of_nothing() -> None:
    practised, *tested = _tested(4)
    exact = [
        replace(one, result=replace(one.result, figures=(replace(lead, poured=lead.asked),)))
        for one in tested
        for lead in [one.result.lead]
    ]
    (found,) = progress([practised, *exact])
    assert (found.bias, found.spread) == (0.0, 0.0)
    assert (found.error, found.error_interval) == (0.0, (0.0, 0.0))


def test_with_too_few_tests_nothing_is_said() -> None:
    (found,) = progress(_tested(3))
    assert found.tests == 3
    assert (found.bias, found.spread, found.interval, found.error, found.trend) == (None,) * 5


def test_a_test_too_soon_after_practice_is_none_whatever_it_claims() -> None:
    records = _tested(6, wait=timedelta(hours=23))
    assert true_tests(records) == []
    assert progress(records)[0].bias is None


def test_help_never_counts_as_skill() -> None:
    records = _tested(4)
    (before,) = progress(records)
    served = [
        replace(record, part=Part.ASSIST, live_help=True, at=START + 2 * DAY)
        for record in records[1:]
    ]
    helped = [replace(record, live_help=True, at=START + 2 * DAY) for record in records[1:]]
    for more in (served, helped):
        (after,) = progress([*records, *more])
        assert (after.tests, after.bias, after.spread) == (before.tests, before.bias, before.spread)
    (alone,) = progress(served)
    assert (alone.tests, alone.bias, alone.error) == (0, None, None)


def test_estimates_are_those_made_in_train() -> None:
    """With the curve in view an estimate is no estimate."""
    guessed = [
        replace(record, result=replace(record.result, truth=40.0, estimate=42.0))
        for record in _tested(4)
    ]
    helped = [
        replace(record, mode=Mode.ASSIST, result=replace(record.result, estimate=60.0))
        for record in guessed
    ]
    assert progress([*guessed, *helped])[0].estimates == pytest.approx([2.0] * len(guessed))


def test_the_report_separates_who_has_learnt_from_who_follows_the_curve() -> None:
    """From eight test pours each, in at least 95 of 100 pairs; in practice the follower looks as
    good wherever the curve was shown."""
    right = 0
    for seed in range(100):
        follows, learns = (progress(trained(each, seed).records)[0] for each in (FOLLOWS, LEARNS))
        assert follows.tests == learns.tests == 8
        assert follows.error is not None
        assert learns.error is not None
        right += learns.error < follows.error
    assert right >= 95


def test_the_followers_helped_pours_are_good_and_their_tests_are_not() -> None:
    records = trained(FOLLOWS, 3).records
    helped = [abs(r.error) for r in records if r.live_help and r.error is not None]
    tests = [abs(r.error) for r in true_tests(records) if r.error is not None]
    assert fmean(helped) < 0.4 * fmean(tests)


def test_a_trend_needs_tests_of_two_days() -> None:
    (found,) = progress(_tested(8))
    assert found.trend is None
    assert progress(trained(LEARNS, 1).records)[0].trend is not None


ORDER = ("steady", "landing", "bloom")


def test_a_drill_whose_test_is_due_comes_next() -> None:
    due = {"landing": DueTest(Part.TEST, START, 0)}
    found = next_drill(ORDER, (), {}, due)
    assert found is not None
    assert (found.drill, found.because) == ("landing", Because.TEST_DUE)


def test_then_the_one_that_is_most_off_beside_its_band() -> None:
    tested = [
        replace(nothing_yet(name, PourMeasure.LANDING), tests=8, error=error)
        for name, error in (("steady", 9.0), ("landing", 20.0))
    ]
    found = next_drill(ORDER, tested, {"steady": 3.0, "landing": 10.0}, {})
    assert found is not None
    assert (found.drill, found.because) == ("steady", Because.MOST_OFF)
    assert found.figure == pytest.approx(3.0)


def test_then_one_without_tests_and_then_a_new_one() -> None:
    good = replace(nothing_yet("steady", PourMeasure.LANDING), tests=8, error=1.0)
    begun = nothing_yet("landing", PourMeasure.LANDING)
    bands = {"steady": 3.0}
    untested = next_drill(ORDER, [good, begun], bands, {})
    assert untested is not None
    assert (untested.drill, untested.because) == ("landing", Because.UNTESTED)
    never = next_drill(ORDER, [good], bands, {})
    assert never is not None
    assert (never.drill, never.because) == ("landing", Because.NEVER)
