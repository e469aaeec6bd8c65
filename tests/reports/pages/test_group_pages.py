"""The page of a person, as text."""

import pytest

from pourcoach.practice.drill.measure import PourMeasure
from pourcoach.practice.progress.progress import nothing_yet
from pourcoach.reports.pages.group_pages import MOST_CURVES, person_page
from tests.reports.group.made_group import GETTING_BETTER, group_brew


def test_a_figure_and_its_unit_stay_together() -> None:
    page = person_page(GETTING_BETTER)
    assert "-5\N{NO-BREAK SPACE}% to 5\N{NO-BREAK SPACE}%" in page
    assert "±\N{NO-BREAK SPACE}33\N{NO-BREAK SPACE}%" in page


def test_practice_stands_apart_from_brews() -> None:
    page = person_page([group_brew()], [nothing_yet("landing", next(iter(PourMeasure)))])
    assert "<h2>Practice</h2>" in page
    assert "Too little to tell: 0 test pours so far" in page
    assert "<h2>Practice</h2>" not in person_page([group_brew()])


def test_old_brews_are_counted_and_not_drawn() -> None:
    page = person_page(GETTING_BETTER)
    assert page.count("<li><svg") == MOST_CURVES
    assert f"{len(GETTING_BETTER) - MOST_CURVES} older ones are counted" in page


def test_what_to_work_on_is_taken_from_the_newest_brews() -> None:
    """Eight stalls long ago, and none since."""
    old = [group_brew(day=day, kinds=["stall"]) for day in range(8)]
    new = [group_brew(day=20 + day) for day in range(8)]
    page = person_page([*old, *new])
    assert '<p class="headline">NOTHING NOTED</p>' in page
    assert "8 of 16" in page
    again = person_page([*old, *new, group_brew(day=40, kinds=["late"])])
    assert '<p class="headline">BE ON TIME</p>' in again
    assert "Late pour in 1 of 8 newest brews" in again


@pytest.mark.parametrize(
    ("empty", "words"),
    [(1, "1 recording that is no brew left out"), (2, "2 recordings that are no brews left out")],
)
def test_what_is_no_brew_is_counted(empty: int, words: str) -> None:
    brews = [group_brew(), *(group_brew(day=day + 1, poured=False) for day in range(empty))]
    assert words in person_page(brews)
