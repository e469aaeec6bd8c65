"""Progress over weeks, and what is said where there is too little."""

import json

import pytest

from pourcoach.domain.printable import json_text
from pourcoach.reports.brew.brew_line import when
from pourcoach.reports.group.class_findings import class_findings
from pourcoach.reports.group.group_brew import GroupBrew
from pourcoach.reports.group.progress import person_progress
from tests.reports.group.made_group import GETTING_BETTER, group_brew


def test_a_hand_that_lands_nearer_each_week() -> None:
    """Off by 9 % at first and 1.12 % a week less."""
    found = person_progress(GETTING_BETTER)
    assert (found.name, found.days) == ("Cleo", 9)
    landing, wait = found.criteria
    assert landing.criterion.title == "Landing"
    assert landing.trend is not None
    assert landing.trend.slope == pytest.approx(-0.0016 * 7)
    assert landing.trend_text.startswith("better by 1.1 % a week")
    assert wait.trend_text == "no change seen"
    assert found.marks_trend is not None
    assert found.marks_trend.is_seen
    assert "rises by" in found.sentences[0]
    assert (landing.judged, landing.spread.count) == (54, 54)


def test_brews_of_a_day_repeat_by_so_much() -> None:
    """Three a day, 0.01 apart: s_w is 0.01, so two differ by 2.77 % at most, from 18 seen."""
    landing = person_progress(GETTING_BETTER).criteria[0]
    assert landing.repeats is not None
    assert landing.repeats.freedom == 18
    assert landing.repeats.within_sd == pytest.approx(0.01)
    assert landing.repeats_text == "within 2.8 % (± 33 %)"


def test_brews_of_one_day_are_not_taken_for_days() -> None:
    """Ten attempts in a morning are one day's: they show no trend."""
    found = person_progress([group_brew(day=hour / 24, wait_s=hour) for hour in range(10)])
    assert found.marks_trend is None
    assert found.sentences == (
        "Brews of 1 day are too few for a trend: that takes 5 days at least.",
    )
    assert found.criteria[1].trend_text == "too few days"
    assert found.criteria[1].repeats is not None


def test_too_little_to_judge_is_said() -> None:
    found = person_progress([group_brew(), group_brew(day=3.0)])
    assert found.sentences == (
        "Brews of 2 days are too few for a trend: that takes 5 days at least.",
        "How well the brews repeat cannot be said yet: that takes several of one plan on one day.",
    )
    assert person_progress([]).sentences == ("There are no brews to judge by.",)
    assert person_progress([group_brew(poured=False)]).left_out == 1


def test_practice_is_no_brew() -> None:
    """A drill poured into an empty server has figures of its own."""
    drill = group_brew(day=1.0, practice={"mode": "assist", "drill": "landing"})
    found = person_progress([group_brew(), drill])
    assert (len(found.brews), found.left_out) == (1, 1)
    alone = person_progress([drill])
    assert (alone.name, len(alone.brews)) == ("Ada", 0)
    assert class_findings([group_brew(), drill]).count == 1


def test_undated_brews_count_but_not_in_time() -> None:
    found = person_progress([group_brew(dated=False) for _ in range(9)])
    assert found.days == 0
    assert found.criteria[0].met == 18
    assert found.criteria[0].trend is None


def test_another_rubrics_marks_are_another_criterion() -> None:
    other = group_brew(day=1.0)
    for mark in other.figures["marks"]["criteria"]:
        mark["most"] = 99.0
    found = person_progress([group_brew(), group_brew(day=0.5), other])
    assert [(one.criterion.most, one.judged) for one in found.criteria] == [(99.0, 2), (99.0, 1)]


def test_kept_figures_give_the_same_as_new_ones() -> None:
    """Figures go through JSON when they are kept."""
    kept = [
        GroupBrew(json.loads(json_text(dict(brew.figures))), brew.curve) for brew in GETTING_BETTER
    ]
    assert person_progress(kept).criteria == person_progress(GETTING_BETTER).criteria


def test_a_brew_says_when_it_was_recorded_if_it_is_known() -> None:
    assert group_brew(day=1.0).when.startswith("2026-03-03")
    assert group_brew(dated=False).when == when("")
    assert group_brew(dated=False).at is None
