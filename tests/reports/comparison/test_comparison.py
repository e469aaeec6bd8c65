"""Brews side by side: a difference is one only where it is larger than its error."""

from dataclasses import replace

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement
from pourcoach.domain.pour import Ending
from pourcoach.domain.setup import Setup
from pourcoach.recordings.fold import JudgedTape
from pourcoach.recordings.tape import TapeHeader
from pourcoach.reports.brew.brew_report import BrewReport
from pourcoach.reports.brew.curve import BrewCurve
from pourcoach.reports.comparison.comparison import MOST, compare
from pourcoach.reports.comparison.comparison_text import comparison_lines, headline
from pourcoach.reports.comparison.measured import (
    ComparedFigure,
    Difference,
    Unit,
    compared_text,
    difference,
    difference_text,
)
from tests.reports.drawn_report import shipped_brew
from tests.reports.made_brew import PLAN, STEADY, last_frame


def with_errors(frame: Frame, mass_error_g: float, start_error_s: float) -> Frame:
    stages = tuple(
        replace(
            stage,
            pours=tuple(
                replace(
                    pour,
                    mean_flow_gps=5.0,
                    mass_error_g=mass_error_g,
                    start_error_s=start_error_s,
                    mean_flow_error_gps=0.05,
                )
                for pour in stage.pours
            ),
        )
        for stage in frame.pour.stages
    )
    return frame._replace(pour=frame.pour._replace(stages=stages))


def report(frame: Frame, name: str = "made") -> BrewReport:
    tape = JudgedTape(TapeHeader(plan=PLAN), frame, (), None)
    return BrewReport(f"{name}.jsonl", tape, None, BrewCurve())


@pytest.mark.parametrize(
    ("one", "other", "unit", "says"),
    [
        ((40.0, 0.1), (38.0, 0.1), Unit.GRAMS, "+2.0 ± 0.3 g"),
        ((40.0, 0.1), (40.2, 0.1), Unit.GRAMS, "none (± 0.3 g)"),
        ((40.0, 0.1), (40.3, 0.1), Unit.GRAMS, "none (± 0.3 g)"),
        ((40.0, 0.1), (40.4, 0.1), Unit.GRAMS, "-0.4 ± 0.3 g"),
        ((40.0, 0.0), (40.0, 0.0), Unit.GRAMS, "none (± 0.1 g)"),
        ((5.0, 0.02), (5.2, 0.01), Unit.FLOW, "-0.20 ± 0.05 g/s"),
        ((40.0, None), (30.0, 0.1), Unit.GRAMS, "+10.0 g, error not known"),
        (None, (30.0, 0.1), Unit.GRAMS, "–"),
    ],
)
def test_a_difference_is_said_as_one_only_beyond_its_error(
    one: tuple[float, float | None] | None,
    other: tuple[float, float | None],
    unit: Unit,
    says: str,
) -> None:
    """± is two standard errors, those of both brews added in squares, rounded up."""
    found = difference(None if one is None else ComparedFigure(*one), ComparedFigure(*other), unit)
    assert difference_text(found, unit) == says


def test_an_unknown_error_is_no_difference() -> None:
    assert not Difference(10.0, None).is_seen
    assert compared_text(None, Unit.GRAMS) == "–"
    assert compared_text(ComparedFigure(-0.01, None), Unit.GRAMS) == "0.0 g"


def test_a_brew_against_itself_differs_in_nothing() -> None:
    brew = report(with_errors(last_frame(), 0.1, 0.05))
    found = compare([brew, brew])
    assert found.seen == ()
    assert headline(found) == "No difference is larger than the error of measurement."
    assert len(found.parts) == 1 + len(STEADY)


def test_stages_stand_beside_each_other_by_their_place() -> None:
    whole = with_errors(last_frame(), 0.1, 0.05)
    cut = with_errors(last_frame(STEADY[:2]), 0.1, 0.05)
    found = compare([report(whole, "whole"), report(cut, "cut")])
    last = found.parts[-1]
    assert last.title == "3. pour 2"
    assert [row.figures[1] for row in last.rows] == [None] * len(last.rows)
    assert any("equally many stages" in note for note in found.notes)
    lines = comparison_lines(found)
    assert lines[0] == "A  whole"
    assert any(line.startswith("Water") and "-139.3 ± 0.5 g" in line for line in lines)


def test_time_is_compared_only_where_the_end_was_reported() -> None:
    reported = report(with_errors(last_frame(ending=Ending.LIFTED), 0.1, 0.05))
    left = report(with_errors(last_frame(ending=Ending.LEFT), 0.1, 0.05))
    row = next(row for row in compare([reported, left]).parts[0].rows if row.title == "Time")
    assert row.figures[0] is not None
    assert row.figures[1] is None


def test_a_drip_that_ended_by_itself_is_a_time_where_the_server_was_weighed() -> None:
    rested = with_errors(last_frame(ending=Ending.RESTED), 0.1, 0.05)
    dripped = report(rested)
    setup = Setup(arrangement=Arrangement.SERVER_ON_SCALE)
    header = replace(dripped.tape.header, setup=setup)
    dripped = replace(dripped, tape=replace(dripped.tape, header=header))
    figures = [
        next(row for row in compare([one, one]).parts[0].rows if row.title == "Time").figures[0]
        for one in (dripped, report(rested))
    ]
    assert figures[0] is not None
    assert figures[1] is None


def test_another_plan_is_said() -> None:
    brew = report(with_errors(last_frame(), 0.1, 0.05))
    planless = BrewReport(
        "x.jsonl", JudgedTape(TapeHeader(), brew.tape.last, (), None), None, BrewCurve()
    )
    assert "Only one of A and B has a plan." in compare([brew, planless]).notes


@pytest.mark.parametrize("count", [0, 1, MOST + 1])
def test_too_few_and_too_many_are_refused(count: int) -> None:
    with pytest.raises(UsageError, match="cannot be set side by side"):
        compare([report(last_frame())] * count)


def test_a_brew_without_water_is_refused() -> None:
    with pytest.raises(UsageError, match="nothing was poured on dry"):
        compare([report(last_frame()), report(last_frame(()), "dry")])


def test_shipped_brews_differ_where_they_were_made_to() -> None:
    """The light bloom got 25 g where the steady one got 39."""
    found = compare([shipped_brew("steady"), shipped_brew("light-bloom")])
    assert found.largest is not None
    part, row, place = found.largest
    assert (part.title, row.title, place) == ("1. bloom", "Water", 1)
    assert headline(found).endswith("1. bloom, water, B -13.9 ± 0.1 g against A.")
