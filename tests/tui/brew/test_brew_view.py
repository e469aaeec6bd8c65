"""What is shown at a moment, as a value."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from pourcoach.coaching.moment import cue_in_force
from pourcoach.domain.advice import Flag, FlagKind, Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase
from pourcoach.tui.brew.brew_view import FIRST_READING, NO_FIGURE, brew_view
from pourcoach.wording import flag_words

MakeFrame = Callable[..., Frame]


def pouring(frame: MakeFrame, **changes: object) -> Frame:
    given: dict[str, object] = {"phase": Phase.POURING, "flow_gps": 5.04}
    return frame(10.0, Word.POUR, 29.66, **(given | changes))


def test_before_the_first_frame_the_scale_is_asked_for() -> None:
    view = brew_view(None, 3.0)
    assert (view.word, view.sentence, view.figure) == (Word.SCALE, FIRST_READING, NO_FIGURE)
    assert brew_view(None, 3.0, notice="no such port").sentence == "No such port"


def test_while_pouring(frame: MakeFrame) -> None:
    view = brew_view(pouring(frame), 10.0)
    assert (view.word, view.figure, view.caption) == (Word.POUR, "29.7", "g of 40")
    assert (view.flow, view.time, view.off) == ("5.0", "0:06", "-0.3")


def test_the_clock_runs_on_between_frames_and_stands_when_all_is_over(frame: MakeFrame) -> None:
    assert brew_view(pouring(frame), 10.9).time == "0:06"
    assert brew_view(pouring(frame), 11.0).time == "0:07"
    assert brew_view(pouring(frame), 99.0, running=False).time == "0:06"
    done = frame(10.0, Word.DONE, 30.0, phase=Phase.DONE)
    assert brew_view(done, 60.0).time == "0:06"


@pytest.mark.parametrize(
    ("now_s", "figure"),
    [(10.0, "0:13"), (10.39, "0:13"), (10.41, "0:12"), (10.9, "0:12")],
)
def test_while_waiting_the_countdown_takes_the_figure(
    frame: MakeFrame, now_s: float, figure: str
) -> None:
    """Rounded up, so that 0:00 means now."""
    waiting = frame(10.0, Word.WAIT, 40.2, phase=Phase.WAITING, countdown_s=12.4)
    view = brew_view(waiting, now_s)
    assert (view.figure, view.caption) == (figure, "40.2 g poured")


def test_a_countdown_that_has_run_out_says_zero(frame: MakeFrame) -> None:
    waiting = frame(10.0, Word.WAIT, 40.2, phase=Phase.WAITING, countdown_s=0.2)
    assert brew_view(waiting, 10.6).figure == "0:00"


def test_stop_is_shown_when_due_without_an_input(frame: MakeFrame) -> None:
    due = pouring(frame, stop_due_s=10.3)
    assert brew_view(due, 10.29).word is Word.POUR
    assert brew_view(due, 10.3).word is Word.STOP


def test_a_stale_frame_is_a_lost_scale_not_a_frozen_number(frame: MakeFrame) -> None:
    last = pouring(frame, stop_due_s=10.3)
    view = brew_view(last, 11.1, stale=True, notice="The cable came off.")
    assert (view.word, view.figure, view.flow, view.off) == (Word.SCALE, *[NO_FIGURE] * 3)
    assert (view.off_g, view.sentence, view.notice) == (None, "The cable came off.", None)


def test_a_lost_scale_that_the_coach_reports_is_kept(frame: MakeFrame) -> None:
    lost = frame(10.0, Word.SCALE, 30.0, phase=Phase.POURING, stop_due_s=9.0)
    assert cue_in_force(lost, 12.0, stale=True) is lost.cue
    assert brew_view(lost, 10.0).figure == NO_FIGURE


def test_after_the_end_silence_is_no_fault(frame: MakeFrame) -> None:
    done = frame(10.0, Word.DONE, 320.0, phase=Phase.DONE)
    assert brew_view(done, 100.0, stale=True).word is Word.DONE


def test_a_brewer_that_is_lifted_takes_no_water_along(frame: MakeFrame) -> None:
    done = frame(200.0, Word.DONE, 320.4, phase=Phase.DONE)
    lifted = done._replace(estimate=done.estimate._replace(mass_g=8.7))
    view = brew_view(lifted, 200.0)
    assert (view.figure, view.caption) == ("320.4", "g of water")
    ready = frame(2.0, Word.READY, 412.0)
    assert brew_view(ready._replace(pour=ready.pour._replace(water_g=0.0)), 2.0).figure == "412.0"


def test_a_notice_that_the_panel_does_not_say_is_kept(frame: MakeFrame) -> None:
    assert brew_view(pouring(frame), 10.0, notice="The disk is full.").notice == "The disk is full."


def test_a_flag_is_reported_for_a_while_where_that_is_wanted(frame: MakeFrame) -> None:
    stall = Flag(FlagKind.STALL, 6.0, 8.5, "bloom", 0.9, {"lasted_s": 2.5})
    noted = pouring(frame)._replace(flags=(stall,))
    assert brew_view(noted, 10.0).notice is None
    assert brew_view(noted, 10.0, notice_s=6.0).notice == flag_words(stall).measured
    assert brew_view(noted, 10.0, notice_s=1.5).notice is None
    due = noted._replace(flags=(replace(stall, end_s=20.0),))
    assert brew_view(due, 10.0).notice is None
    assert brew_view(noted, 10.0, notice_s=6.0, notice="Line 9 is broken.").notice == (
        "Line 9 is broken."
    )


def test_without_a_plan_only_what_needs_none_is_shown(frame: MakeFrame) -> None:
    view = brew_view(pouring(frame, plan=None), 10.0)
    assert (view.off_g, view.band_g, view.off, view.caption) == (None, None, NO_FIGURE, "g")
    assert (view.figure, view.flow, view.time) == ("29.7", "5.0", "0:06")


@pytest.mark.parametrize(
    ("mass_g", "figure"),
    [
        (-0.04, "0.0"),
        (999.94, "999.9"),
        (999.95, "1000"),
        (123456.0, "9999"),
        (-99.94, "-99.9"),
        (-99.95, "-100"),
        (-123456.0, "-999"),
    ],
)
def test_a_figure_never_takes_more_than_five_characters(
    frame: MakeFrame, mass_g: float, figure: str
) -> None:
    assert brew_view(frame(2.0, Word.READY, mass_g), 2.0).figure == figure


def test_a_view_is_a_value(frame: MakeFrame) -> None:
    assert brew_view(pouring(frame), 10.0) == brew_view(pouring(frame)._replace(), 10.0)
