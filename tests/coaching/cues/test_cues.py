"""The one thing to do now: which word, when, and how long."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import pytest

from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Link, Silence, Tare
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending
from pourcoach.domain.setup import Setup
from tests.coaching.conftest import seconds

Brew = Any
WordsOf = Callable[[Sequence[Frame]], list[str]]


def test_a_brew_to_plan_hears_each_word_once(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32.5).pour_to(140).until(72.5).pour_to(240).until(100)
    assert words_of(brew.frames) == [
        *("READY", "BLOOM", "STOP", "WAIT", "POUR", "STOP", "WAIT", "POUR", "STOP", "DRAIN"),
    ]


@pytest.mark.parametrize("flow_gps", [4.0, 6.0, 8.0])
def test_stop_leads_the_mark_by_reaction_way_down_and_display(brew: Brew, flow_gps: float) -> None:
    brew.pour_to(40.0, flow_gps)
    stop = next(frame for frame in brew.frames if frame.cue.word is Word.STOP)
    lead_g = flow_gps * (0.35 + 0.05)
    reached_g = flow_gps * (stop.cue.since_s - 2.0)
    assert reached_g == pytest.approx(40.0 - lead_g, abs=0.2)


def test_stop_is_due_between_samples(brew: Brew) -> None:
    brew.pour(5.0, 7.5)
    cue = brew.frames[-1].cue
    assert cue.word is Word.BLOOM
    assert cue.stop_due_s == seconds(2.0 + 8.0 - 0.4)
    brew.feed(Silence(cue.stop_due_s))
    assert brew.frames[-1].cue.word is Word.STOP
    assert brew.frames[-1].cue.since_s == cue.stop_due_s


def test_a_stop_that_took_over_between_samples_is_not_taken_back(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour(5.3, 7.1)
    due_s = brew.frames[-1].cue.stop_due_s
    assert brew.t_s < due_s < brew.t_s + 0.1
    brew.pour(2.0, 0.5)
    assert words_of(brew.frames) == ["READY", "BLOOM", "STOP"]
    assert brew.frames[-1].cue.since_s == due_s


def test_a_slower_hand_is_cued_sooner(plan: Plan, new_brew: Callable[..., Brew]) -> None:
    brew = new_brew(plan, Setup(reaction_s=0.5)).pour_to(40.0)
    stop = next(frame for frame in brew.frames if frame.cue.word is Word.STOP)
    assert stop.cue.since_s == seconds(2.0 + 8.0 - 0.55)


def test_stop_says_what_it_was_based_on(brew: Brew) -> None:
    brew.pour_to(40.0)
    stop = next(frame for frame in brew.frames if frame.cue.word is Word.STOP)
    assert stop.cue.basis["mark_g"] == 40.0
    assert stop.cue.basis["lead_s"] == 0.35


def test_the_lead_is_learnt_once_the_landing_is_refined(brew: Brew) -> None:
    brew.pour_to(42.0).rest(1.0)
    assert brew.frames[-1].reaction_s is None
    brew.rest(5.0)
    assert brew.frames[-1].reaction_s == pytest.approx(0.35 + 0.5 * 2.0 / 5.0, abs=0.01)


def test_a_lead_known_from_before_moves_less(plan: Plan, new_brew: Callable[..., Brew]) -> None:
    brew = new_brew(plan, Setup(reaction_s=0.4)).pour_to(42.0).rest(6.0)
    assert brew.frames[-1].reaction_s == pytest.approx(0.4 + 0.2 * 2.0 / 5.0, abs=0.01)


def test_a_stop_long_after_the_word_teaches_nothing(brew: Brew) -> None:
    brew.pour_to(47.0).rest(6.0)
    assert brew.frames[-1].reaction_s is None


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


def test_the_answer_to_a_word_is_no_unsteady_hand(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(3.0, 5.0).pour(5.0, 12.0)
    words = {frame.cue.word for frame in brew.frames}
    assert Word.MORE in words
    assert Word.STEADY not in words


def test_stopped_short_is_asked_for_more(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32).pour_to(90).rest(2.0)
    assert words_of(brew.frames)[-1] == "MORE"


def test_nothing_is_asked_of_the_hand_while_something_touches_the_scale(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour_to(40).until(32).pour_to(90).touch(1.5)
    assert words_of(brew.frames)[-1] == "POUR"


def test_no_reading_is_said_at_once_and_taken_back_at_once(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).rest(3).silence(1.0).rest(0.2)
    assert words_of(brew.frames)[-2:] == ["SCALE?", "WAIT"]


def test_a_word_about_the_pace_does_not_outlast_a_silence(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32).pour(6.5, 4.3).silence(0.8).pour(5.0, 0.2)
    assert words_of(brew.frames)[-3:] == ["SLOW", "SCALE?", "POUR"]


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


def test_flow_that_wanders_is_cued_steady(plan: Plan, new_brew: Callable[..., Brew]) -> None:
    brew = new_brew(replace(plan)).pour_to(40).until(32)
    for _ in range(8):
        brew.pour(7.5, 0.6).pour(2.5, 0.6)
    assert any(frame.cue.word is Word.STEADY for frame in brew.frames)


def test_a_flow_that_drops_for_a_moment_near_the_mark_is_no_end(
    brew: Brew, words_of: WordsOf
) -> None:
    brew.pour_to(40).until(32).pour_to(136, 5.0)
    before = len(brew.frames)
    brew.pour(1.0, 0.3).pour_to(139, 3.0)
    assert words_of(brew.frames[before:]) == ["POUR", "STOP"]


def test_a_surge_is_cued_slow_as_soon_as_it_is_one(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour(4.5, 4.0).pour(11.0, 1.5)
    noted = next(frame.t_s for frame in brew.frames if frame.flags)
    slow = next(frame.t_s for frame in brew.frames if frame.cue.word is Word.SLOW)
    assert slow == noted


def test_no_word_is_taken_back_for_a_glance_before_stop(brew: Brew, words_of: WordsOf) -> None:
    brew.pour_to(40).until(32).pour(5.0, 14.0).pour(11.0, 2.0).pour(5.0, 3.0)
    assert words_of(brew.frames)[-3:] == ["POUR", "SLOW", "STOP"]


def test_a_stop_that_came_in_a_silence_still_holds_after_it(brew: Brew, words_of: WordsOf) -> None:
    brew.pour(5.0, 7.4)
    due_s = brew.frames[-1].cue.stop_due_s
    brew.feed(Silence(due_s - 0.1))
    brew.feed(Silence(due_s + 0.6))
    brew.t_s = round(due_s + 1.0, 1)
    brew.pour(3.0, 0.3)
    assert words_of(brew.frames)[-3:] == ["BLOOM", "SCALE?", "STOP"]
