"""What the review shows of a brew."""

from dataclasses import replace

import pytest

from pourcoach.coaching.flags.risk import BedLook, bed_look
from pourcoach.coaching.marking.rubric import read_rubric
from pourcoach.domain.afterwards import Remark, RemarkKind
from pourcoach.domain.key_press import Key, KeyPress
from pourcoach.tui.renderables.fault_row import MomentSign
from pourcoach.tui.review.review_view import review_view
from tests.reports.made_brew import KNOCK, PLAN, STALL, START_S, STEADY, USUAL_RUBRIC, last_frame
from tests.tui.made_review import FAULTY

AT = "2026-01-15T09:35:00+00:00"
BED_CRATER = Remark(RemarkKind.BED, "crater", AT)
BED_HOLE = Remark(RemarkKind.BED, "hole", AT)
SOUR = Remark(RemarkKind.TASTE, "sour", AT)


def test_the_whole_brew_stands_beside_its_risk() -> None:
    view = review_view(FAULTY, PLAN, USUAL_RUBRIC)
    assert (view.picked, view.span) == (None, None)
    assert view.side[0] == view.lead.reason
    assert view.side[1] == "Channeling risk from the pour: raised."


def test_a_stage_picked_shows_what_was_noted_in_it_the_hand_first() -> None:
    view = review_view(FAULTY, PLAN, USUAL_RUBRIC, 1)
    assert view.span == pytest.approx((35.0, 35.0 + (181.0 - 40.2) / 5.0))
    assert [text.split(",")[0] for text in view.side] == ["Uneven pour", "Scale disturbed"]


def test_a_stage_in_which_nothing_was_noted_says_so() -> None:
    assert review_view(FAULTY, PLAN, USUAL_RUBRIC, 0).side == ("bloom: nothing noted.",)


def test_a_stage_not_poured_says_so() -> None:
    view = review_view(last_frame(STEADY[:2]), PLAN, USUAL_RUBRIC, 2)
    assert view.side == ("pour 2: not poured.",)
    assert view.span is None


def test_a_stage_that_still_ran_at_the_end_has_no_span() -> None:
    *before, last = STEADY
    pour = replace(last.pours[-1], end_s=None, end_g=None)
    running = replace(last, pours=(pour,))
    assert review_view(last_frame((*before, running)), PLAN, USUAL_RUBRIC, 2).span is None


def test_faults_lie_on_the_brews_own_time() -> None:
    faults = review_view(last_frame(flags=(STALL, KNOCK)), PLAN, USUAL_RUBRIC).faults
    assert [(fault.start_s, fault.end_s, fault.hand) for fault in faults] == [
        (100.0, 101.5, True),
        (50.0, 50.2, False),
    ]


def test_the_beds_look_is_set_beside_the_risk() -> None:
    view = review_view(FAULTY, PLAN, USUAL_RUBRIC, said=(BED_CRATER, BED_HOLE, SOUR))
    assert view.side[1].startswith("The bed: hole; risk from the pour: raised.")
    assert view.page.startswith(view.side[0])
    assert "NOTED AFTERWARDS\n- Bed: crater\n- Bed: hole\n- Taste: sour" in view.page


def test_a_look_in_other_words_is_not_set_beside_the_risk() -> None:
    odd = Remark(RemarkKind.BED, "rather odd", BED_HOLE.made_at)
    assert bed_look((BED_HOLE, odd)) is None
    assert bed_look(()) is None
    assert bed_look((BED_HOLE,)) is BedLook.HOLE


def test_the_page_has_every_finding() -> None:
    page = review_view(FAULTY, PLAN, USUAL_RUBRIC).page
    for title in ("STALLED POUR", "UNEVEN POUR", "SCALE DISTURBED"):
        assert title in page
    assert "as it matters (pouring to plan)" in page
    assert "- 1:40 pour 2, 96 % sure: The water all but stopped for 1.5 s" in page


def test_the_marks_name_the_rubric_they_were_made_by() -> None:
    house = read_rubric(
        'name = "house"\n[[criterion]]\ntitle = "No stall"\nmeasure = "stalls"\nmost = 0\n'
    )
    view = review_view(FAULTY, PLAN, house)
    assert view.marks == "Marks: 0 of 1 (house)."
    assert "MARKS  0 of 1 met; 0 % with each counted as it matters (house)\n" in view.page


def test_a_brew_that_never_began_has_no_faults() -> None:
    never = last_frame((), (KNOCK,))
    assert review_view(never, PLAN, USUAL_RUBRIC).faults == ()


def test_each_stage_has_the_band_of_a_steady_hand_about_its_own_flow() -> None:
    """Its ramps, 1.0 s and 0.6 s, are not judged."""
    bands = review_view(FAULTY, PLAN, USUAL_RUBRIC).bands
    assert [band.mean_gps for band in bands] == pytest.approx([5.0, 5.0, 5.0])
    assert [band.half_gps for band in bands] == pytest.approx([1.0, 1.0, 1.0])
    assert (bands[1].start_s, bands[1].end_s) == pytest.approx((36.0, 35.0 + 140.8 / 5.0 - 0.6))


def test_marks_and_notes_lie_at_their_moments_and_are_read_at_length() -> None:
    moments = (
        KeyPress(START_S + 42.0, Key.MARK),
        KeyPress(START_S + 71.0, Key.NOTE, "kettle swapped"),
    )
    view = review_view(FAULTY._replace(moments=moments), PLAN, USUAL_RUBRIC)
    assert view.moments == (MomentSign(42.0, "m"), MomentSign(71.0, "n"))
    assert "MARKED BY KEY WHILE BREWING\n- 0:42 mark\n- 1:11 note: kettle swapped" in view.page
