"""The one thing to do now: which word, when, and how long."""

from collections.abc import Callable, Sequence
from typing import Any

import pytest

from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Link, Tare
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending
from tests.coaching.conftest import seconds

Brew = Any
WordsOf = Callable[[Sequence[Frame]], list[str]]


def test_a_brew_to_plan_hears_each_word_once(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32.5).pour_to(140).until(72.5).pour_to(240).until(100)
    assert words_of(brew.frames) == [
        *("READY", "BLOOM", "STOP", "WAIT", "POUR", "STOP", "WAIT", "POUR", "STOP", "DRAIN"),
    ]


def test_nothing_is_asked_of_the_hand_while_something_touches_the_scale(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour_to(40).until(32).pour_to(90).touch(1.5)
    assert words_of(brew.frames)[-1] == "POUR"


def test_no_reading_is_said_at_once_and_taken_back_at_once(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).rest(3).silence(1.0).rest(0.2)
    assert words_of(brew.frames)[-2:] == ["SCALE?", "WAIT"]


def test_a_lost_link_is_said_at_once(brew: Brew) -> None:
    brew.pour_to(40).rest(3).key(Link(brew.t_s, up=False))
    assert brew.frames[-1].cue.word is Word.SCALE


def test_the_word_to_pour_leads_by_reaction_and_display(brew: Brew) -> None:
    brew.pour_to(40).until(34)
    pour = next(frame for frame in brew.frames if frame.cue.word is Word.POUR)
    assert 0.3 - 0.1 - 1e-6 <= pour.pour.countdown_s <= 0.3


def test_a_late_brewer_is_still_asked_to_pour(brew: Brew) -> None:
    brew.pour_to(40).until(35)
    cue = brew.frames[-1].cue
    assert (cue.word, cue.state) == (Word.POUR, CueState.ON_TARGET)


def test_a_wait_long_over_is_pressing(brew: Brew) -> None:
    brew.pour_to(40).until(32.0 + 15.0 + 1.0)
    frame = brew.frames[-1]
    assert (frame.cue.word, frame.cue.state) == (Word.POUR, CueState.DUE)
    assert frame.cue.since_s == pytest.approx(32.0 + 15.0, abs=0.15)
    assert frame.pour.overdue_s == seconds(16.0)


def test_a_brew_left_alone_is_closed(brew: Brew) -> None:
    brew.pour_to(40).until(32.0 + 179.8)
    assert brew.frames[-1].pour.ending is None
    brew.rest(0.4)
    state = brew.frames[-1].pour
    assert state.ending is Ending.LEFT
    assert state.brew_s == pytest.approx(8.0, abs=0.25)


def test_pouring_when_it_is_time_to_wait_is_met_by_wait(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(20)
    before = len(brew.frames)
    brew.pour(5.0, 1.5)
    assert words_of(brew.frames[before:]) == ["WAIT"]
    assert brew.frames[-1].cue.state is CueState.DUE
    assert brew.frames[-1].pour.countdown_s == seconds(32.0 - 21.5)
    brew.rest(1.0)
    assert (brew.frames[-1].cue.word, brew.frames[-1].cue.state) == (Word.WAIT, CueState.CALM)
    brew.until(35.0)
    assert (brew.frames[-1].cue.word, brew.frames[-1].cue.state) == (Word.POUR, CueState.ON_TARGET)
    brew.until(38.0)
    assert brew.frames[-1].cue.word is Word.MORE


def test_a_hand_that_pours_on_before_its_time_is_led_to_its_mark(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour_to(40).until(20)
    before = len(brew.frames)
    brew.pour_to(140).rest(1.0)
    assert words_of(brew.frames[before:]) == ["WAIT", "POUR", "STOP", "WAIT"]


def test_water_after_a_wait_was_heeded_goes_on_with_its_stage(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour_to(40).until(20).pour(5.0, 1.5).until(32)
    before = len(brew.frames)
    brew.pour_to(140).rest(1.0)
    assert words_of(brew.frames[before:]) == ["POUR", "STOP", "WAIT"]
    assert [stage.stage for stage in brew.frames[-1].pour.stages] == ["bloom", "pour 1"]


def test_a_loaded_scale_says_tare_and_not_ready(new_brew: Callable[..., Brew], plan: Plan) -> None:
    brew = new_brew(plan).jump(612.0).rest(1.0)
    cue = brew.frames[-1].cue
    assert (cue.word, cue.state) == (Word.TARE, CueState.DUE)
    brew.key(Tare(brew.t_s)).rest(1.0)
    assert brew.frames[-1].cue.word is Word.READY


def test_each_cue_keeps_the_moment_it_came(brew: Brew) -> None:
    brew.pour_to(40).until(20)
    waiting = {frame.cue.since_s for frame in brew.frames if frame.cue.word is Word.WAIT}
    assert len(waiting) == 1


def test_after_a_tare_of_the_first_water_it_is_ready_again(brew: Brew) -> None:
    brew.pour(4.0, 5.0).rest(2.0)
    brew.key(Tare(brew.t_s)).rest(1.0)
    assert brew.frames[-1].cue.word is Word.READY


def test_without_a_plan_only_the_phase_is_said(
    new_brew: Callable[..., Brew], words_of: WordsOf
) -> None:
    brew = new_brew(None).pour_to(40).rest(20).pour_to(140).rest(3)
    brew.close()
    assert words_of(brew.frames) == ["READY", "POUR", "WAIT", "POUR", "WAIT", "DONE"]


def test_a_flow_that_drops_for_a_moment_near_the_mark_is_no_end(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour_to(40).until(32).pour_to(136, 5.0)
    before = len(brew.frames)
    brew.pour(1.0, 0.3).pour_to(139, 3.0)
    assert words_of(brew.frames[before:]) == ["POUR", "STOP"]
