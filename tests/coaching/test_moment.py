import pytest

from pourcoach.coaching.moment import at_moment, cue_in_force
from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.pour import Phase
from tests.tui.made_frames import make_frame


def test_clocks_run_on_between_inputs() -> None:
    frame = make_frame(20.0, Word.WAIT, 40.0, phase=Phase.WAITING, countdown_s=15.0)
    later = at_moment(frame, 22.5)
    assert later.pour.brew_s == pytest.approx((frame.pour.brew_s or 0.0) + 2.5)
    assert later.pour.countdown_s == pytest.approx(12.5)


def test_clocks_stand_still_once_the_session_has_ended() -> None:
    frame = make_frame(20.0, Word.WAIT, 40.0, phase=Phase.WAITING, countdown_s=15.0)
    assert at_moment(frame, 99.0, running=False) == frame


def test_a_finished_brew_has_its_time() -> None:
    frame = make_frame(200.0, Word.DONE, 320.0, phase=Phase.DONE)
    assert at_moment(frame, 260.0).pour.brew_s == frame.pour.brew_s


def test_stop_takes_over_at_its_time() -> None:
    frame = make_frame(20.0, Word.POUR, 30.0, phase=Phase.POURING, stop_due_s=20.4)
    assert cue_in_force(frame, 20.3).word is Word.POUR
    assert cue_in_force(frame, 20.4).word is Word.STOP


def test_a_stale_frame_is_a_lost_scale() -> None:
    frame = make_frame(20.0, Word.POUR, 30.0, phase=Phase.POURING)
    assert at_moment(frame, 22.0, stale=True).cue.state is CueState.LOST
    done = make_frame(200.0, Word.DONE, 320.0, phase=Phase.DONE)
    assert at_moment(done, 260.0, stale=True).cue.word is Word.DONE
