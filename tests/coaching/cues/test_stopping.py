"""STOP comes as early as the brewer, the fall and the display need it, as learnt from stops."""

from collections.abc import Callable, Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.cues.stopping import Said, Stopping, learnt
from pourcoach.coaching.flow.pacing import RecentFlow
from pourcoach.domain.advice import Word
from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Silence
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Pour, StagePour
from pourcoach.domain.setup import Setup
from tests.coaching.conftest import seconds

POURS = Estimate(9.0, 39.0, 0.1, 5.0, 0.1, True, 1.0, None, None, (), ScaleTraits())

# Written out: what is imported would hold whatever it is.
LEAST_S, MOST_S = 0.05, 0.8

Brew = Any
WordsOf = Callable[[Sequence[Frame]], list[str]]


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


def test_a_stop_that_came_in_a_silence_still_holds_after_it(brew: Brew, words_of: WordsOf) -> None:
    brew.pour(5.0, 7.4)
    due_s = brew.frames[-1].cue.stop_due_s
    brew.feed(Silence(due_s - 0.1))
    brew.feed(Silence(due_s + 0.6))
    brew.t_s = round(due_s + 1.0, 1)
    brew.pour(3.0, 0.3)
    assert words_of(brew.frames)[-3:] == ["BLOOM", "SCALE?", "STOP"]


@pytest.mark.parametrize(
    ("off_g", "expected_s"),
    [
        (0.0, 0.30),
        (1.0, 0.34),
        (-1.0, 0.26),
        (4.5, 0.48),
        (6.0, 0.30),
    ],
    ids=["landed", "late", "early", "very late", "no answer to the word"],
)
def test_one_stop_at_5_gps(off_g: float, expected_s: float) -> None:
    assert learnt(0.30, off_g, 5.0) == pytest.approx(expected_s)


def test_the_lead_settles_where_stops_land() -> None:
    lead_s = 0.25
    for _ in range(40):
        lead_s = learnt(lead_s, (0.42 - lead_s) * 6.0, 6.0)
    assert lead_s == pytest.approx(0.42, abs=0.001)


@pytest.mark.parametrize(("lead_s", "off_g", "expected_s"), [(0.06, -2.0, 0.05), (0.79, 4.5, 0.8)])
def test_no_lead_is_shorter_or_longer_than_a_hand_is_quick(
    lead_s: float, off_g: float, expected_s: float
) -> None:
    assert learnt(lead_s, off_g, 5.0) == expected_s


@given(
    lead_s=st.floats(LEAST_S, MOST_S), off_g=st.floats(-50.0, 50.0), flow_gps=st.floats(0.0, 15.0)
)
def test_the_lead_stays_in_its_bounds(lead_s: float, off_g: float, flow_gps: float) -> None:
    assert LEAST_S <= learnt(lead_s, off_g, flow_gps) <= MOST_S


@pytest.mark.parametrize(("end_g", "learnt_from"), [(41.0, 1), (46.0, 0)], ids=["late", "no stop"])
def test_only_a_stop_that_taught_something_counts(end_g: float, learnt_from: int) -> None:
    stopping = Stopping(Setup())
    stopping.say(Said(8.0, 0, 40.0, 5.0))
    pour = Pour(0.0, 0.0, end_s=8.5, end_g=end_g, refined=True)
    stopping.learn([Poured(0, 0, StagePour("bloom", (pour,)))])
    assert stopping.learnt_from == learnt_from
    assert stopping.said is None


def test_a_lead_not_known_before_moves_fast_over_three_stops() -> None:
    """By a half, a third and a quarter of what is missing, and then by a fifth."""
    stopping, moved = Stopping(Setup()), []
    for index in range(5):
        before_s = stopping.reaction_s
        stopping.say(Said(8.0, index, 40.0, 5.0))
        pour = Pour(0.0, 0.0, end_s=8.5, end_g=40.5, refined=True)
        stopping.learn([Poured(index, index, StagePour("bloom", (pour,)))])
        moved.append((stopping.reaction_s - before_s) / 0.1)
    assert moved == pytest.approx([1 / 2, 1 / 3, 1 / 4, 1 / 5, 1 / 5])


def test_the_newest_flow_counts_for_a_fifth_of_the_flow_to_come() -> None:
    recent = RecentFlow()
    recent.lasted_s, recent.mean_gps = 3.0, 5.0
    assert Stopping(Setup()).flow_gps(POURS._replace(flow_gps=6.0), recent) == pytest.approx(5.2)


@pytest.mark.parametrize(("flow_gps", "due"), [(0.45, False), (0.55, True)])
def test_a_trickle_forecasts_no_stop(flow_gps: float, due: bool) -> None:
    estimate = POURS._replace(flow_gps=flow_gps)
    due_s = Stopping(Setup()).due_s(estimate, 39.0, 40.0, RecentFlow())
    assert (due_s is not None) is due


@pytest.mark.parametrize(("start_s", "learnt_from"), [(8.0, 1), (9.5, 0)])
def test_a_pour_that_began_after_a_stop_was_no_answer_to_it(
    start_s: float, learnt_from: int
) -> None:
    """What STOP was said to may have been a hand, and the first water only comes then."""
    stopping = Stopping(Setup())
    stopping.say(Said(9.0, 0, 40.0, 5.0))
    pour = Pour(start_s, 0.0, 10.0, 42.0, refined=True)
    stopping.learn([Poured(0, 0, StagePour("bloom", (pour,)))])
    assert stopping.learnt_from == learnt_from
    assert stopping.said is None
