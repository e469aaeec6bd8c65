from dataclasses import replace

from pourcoach.reports.scale.scale_check_page import scale_check_page
from pourcoach.weighing.check.abilities import abilities
from pourcoach.weighing.check.check import judge_scale
from pourcoach.weighing.check.check_record import CheckRecord
from tests.weighing.check.test_check import GOOD, KEEN


def page(record: CheckRecord, **kwargs) -> str:
    check = judge_scale(record, **kwargs)
    return "\n".join(scale_check_page(record, check, abilities(check, KEEN)))


def test_a_whole_check_has_a_row_for_each_test():
    rows = {one.test: one for result in judge_scale(GOOD).results for one in result.findings()}
    assert list(rows) == [
        "noise of one reading",
        "rate",
        "beat",
        "error at 100 g",
        "error at 200 g",
        "error at 500 g",
        "200 g, 3 times",
        "200 g, centre",
        "200 g, front left",
        "200 g, front right",
        "200 g, back right",
        "200 g, back left",
        "0.14 g added",
        "creep over 4 min",
        "zero after the load",
        "step, tenth to nine tenths",
    ]
    assert all(one.within is not False for one in rows.values())
    assert rows["200 g, 3 times"].found == "0.020 g apart"


def test_the_page_says_what_it_is_held_against_and_that_it_is_no_verification():
    text = page(GOOD)
    assert "class III, interval 0.1 g, capacity 1000 g, limits in service" in text
    assert "This is no legal verification" in text
    assert "of a new scale" in page(GOOD, in_service=False)


def test_a_scale_that_no_class_allows_is_reported_as_such():
    assert "No scale like this has a class" in page(replace(GOOD, capacity_g=50.0, interval_g=0.06))


def test_what_could_not_be_judged_and_unknown_weights_are_reported():
    text = page(replace(GOOD, repeats=GOOD.repeats[:1]))
    assert "## What could not be judged" in text
    assert "How far the weights used" not in text
    assert "How far the weights used" in page(
        replace(GOOD, loads=tuple(replace(load, known_to_g=None) for load in GOOD.loads))
    )


def test_an_empty_check_is_a_page_all_the_same():
    text = page(CheckRecord(""))
    assert text.startswith("# Scale check: a scale")
    assert "## What was found" not in text


def test_every_row_of_the_table_is_as_wide():
    table = [line for line in page(GOOD).splitlines() if line.startswith("|")]
    assert len(table) > 10
    assert len({len(line) for line in table}) == 1
