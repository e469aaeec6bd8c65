"""What is asked of the pace, and how long."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import pytest

from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan

Brew = Any
WordsOf = Callable[[Sequence[Frame]], list[str]]


@pytest.mark.parametrize(("flow_gps", "word"), [(6.5, "SLOW"), (3.5, "MORE")])
def test_a_pace_that_will_leave_the_band_is_corrected_before_it_does(
    brew: Brew, flow_gps: float, word: str
) -> None:
    brew.pour_to(40).until(32).pour(flow_gps, 7.0)
    reported = next(frame for frame in brew.frames if frame.cue.word is Word(word))
    assert abs(reported.pour.off_g) < reported.pour.band_g
    assert reported.t_s - 32.0 < 5.0


def test_a_pace_that_lands_within_the_band_is_let_be(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32).pour(5.0, 14.0).pour(6.5, 4.0)
    assert words_of(brew.frames)[-1] == "POUR"


def test_a_word_about_the_pace_is_said_long_enough_to_be_read_and_until_it_is_answered(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour_to(40).until(32).pour(6.5, 5.5)
    answered_s = brew.t_s
    brew.pour(5.0, 6.0)
    slow = [frame.t_s for frame in brew.frames if frame.cue.word is Word.SLOW]
    assert slow[-1] - slow[0] >= 1.4 - 1e-6
    assert slow[-1] - answered_s < 2.2
    assert words_of(brew.frames)[-3:] == ["POUR", "SLOW", "POUR"]


def test_water_ahead_at_the_right_pace_is_not_chased(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(9.0, 3.0).pour(5.0, 9.0)
    assert brew.frames[-1].pour.off_g > brew.frames[-1].pour.band_g
    assert brew.frames[-1].cue.word is Word.POUR


@pytest.mark.parametrize(("flow_gps", "word"), [(7.0, "SLOW"), (4.0, "MORE"), (2.8, "MORE")])
def test_a_word_stays_until_it_is_answered_or_the_mark_is_reached(
    brew: Brew, words_of: WordsOf, flow_gps: float, word: str
) -> None:
    brew.pour_to(40).until(32)
    before = len(brew.frames)
    brew.pour(flow_gps, 99.0 / flow_gps)
    assert words_of(brew.frames[before:]) == ["POUR", word, "STOP"]


def test_a_word_that_waits_for_its_answer_does_not_say_that_all_is_well(brew: Brew) -> None:
    """After the answer the word goes, but the panel turns to on target only once it is."""
    brew.pour_to(40).until(32).pour(2.8, 8.0).pour(4.0, 1.5)
    cue = brew.frames[-1].cue
    assert (cue.word, cue.state) == (Word.POUR, CueState.UNDER)


def test_water_beyond_the_band_is_shown_whatever_the_word(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(9.0, 3.0).pour(5.0, 9.0)
    cue = brew.frames[-1].cue
    assert (cue.word, cue.state) == (Word.POUR, CueState.OVER)


def test_a_pace_put_right_turns_the_panel_to_on_target(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(6.5, 4.4).pour(5.0, 6.0)
    states = [frame.cue.state for frame in brew.frames]
    assert CueState.OVER in states
    assert states[-1] is CueState.ON_TARGET


def test_the_panel_turns_back_well_within_the_band(brew: Brew) -> None:
    """Four fifths of it, and a moment later."""
    brew.pour_to(40).until(32).pour(9.0, 3.0).pour(4.3, 12.0)
    states = [frame.cue.state for frame in brew.frames]
    over = len(states) - states[::-1].index(CueState.OVER)
    back = brew.frames[over]
    assert (back.cue.word, back.cue.state) == (Word.POUR, CueState.ON_TARGET)
    assert 0.7 < back.pour.off_g / back.pour.band_g < 0.8


def test_the_answer_to_a_word_is_no_unsteady_hand(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(3.0, 5.0).pour(5.0, 12.0)
    words = {frame.cue.word for frame in brew.frames}
    assert Word.MORE in words
    assert Word.STEADY not in words


def test_stopped_short_is_asked_for_more(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32).pour_to(90).rest(2.0)
    assert words_of(brew.frames)[-1] == "MORE"


def test_a_word_about_the_pace_does_not_outlast_a_silence(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32).pour(6.5, 4.3).silence(0.8).pour(5.0, 0.2)
    assert words_of(brew.frames)[-3:] == ["SLOW", "SCALE?", "POUR"]


def test_flow_that_wanders_is_cued_steady(plan: Plan, new_brew: Callable[..., Brew]) -> None:
    brew = new_brew(replace(plan)).pour_to(40).until(32)
    for _ in range(8):
        brew.pour(7.5, 0.6).pour(2.5, 0.6)
    assert any(frame.cue.word is Word.STEADY for frame in brew.frames)


def test_a_surge_is_cued_slow_as_soon_as_it_is_one(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(4.5, 4.0).pour(11.0, 1.5)
    noted = next(frame.t_s for frame in brew.frames if frame.flags)
    slow = next(frame.t_s for frame in brew.frames if frame.cue.word is Word.SLOW)
    assert slow == noted


def test_no_word_is_taken_back_for_a_glance_before_stop(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32).pour(5.0, 14.0).pour(11.0, 2.0).pour(5.0, 3.0)
    assert words_of(brew.frames)[-3:] == ["POUR", "SLOW", "STOP"]
