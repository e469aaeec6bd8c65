"""What is taken off the scale while water is still to come."""

from typing import Any

import pytest

from pourcoach.coaching.platform.ending import ended
from pourcoach.coaching.platform.lifts import StandingLift
from pourcoach.domain.advice import Word
from pourcoach.domain.inputs import Tare
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending, Phase, Question
from pourcoach.wording import cue_sentence
from tests.coaching.conftest import three_stages
from tests.coaching.planned_brew import NewBrew

Brew = Any


def test_a_scale_left_bare_may_have_been_zeroed_and_is_asked_about(
    new_brew: NewBrew, plan: Plan
) -> None:
    """Both leave nothing on a scale that nobody had zeroed with the brewer on it."""
    brew = new_brew(plan).jump(300.0).rest(1.0).key(Tare(3.2)).rest(2.0)
    brew.pour_to(40).until(20).jump(-340.0).rest(16.0)
    state = brew.frames[-1].pour
    assert (state.ending, state.question) == (None, Question.LIFT_OR_TARE)


def test_a_scale_left_bare_for_long_closes_the_brew_though_nobody_answers(
    new_brew: NewBrew, plan: Plan
) -> None:
    brew = new_brew(plan).jump(300.0).rest(1.0).key(Tare(3.2)).rest(2.0)
    brew.pour_to(40).until(36).pour_to(140).rest(2.0).jump(-440.0)
    left_s = brew.t_s
    brew.rest(58.0)
    assert brew.frames[-1].pour.question is Question.LIFT_OR_TARE
    brew.rest(4.0)
    state = brew.frames[-1].pour
    assert (state.ending, state.question) == (Ending.LIFTED, None)
    assert state.end_s == pytest.approx(left_s, abs=0.5)
    assert state.water_g == pytest.approx(140.0, abs=0.2)
    assert "closed" in cue_sentence(brew.frames[-1]) or brew.frames[-1].cue.word is Word.DONE


def test_a_scale_left_bare_ends_an_unfinished_brew_where_it_was_a_lift_for_sure() -> None:
    def end(lasted_s: float, *, bare: bool = True, probability: float = 0.95) -> Ending | None:
        lift = StandingLift(100.0, 340.0, 40.0, probability)
        over = ended(
            t_s=100.0 + lasted_s,
            brew_s=60.0 + lasted_s,
            phase=Phase.WAITING,
            rested_s=lasted_s,
            lift=lift,
            bare=bare,
            plan=three_stages(),
            overdue_s=0.0,
        )
        return None if over is None else over[1]

    assert end(14.9) is None
    assert end(15.1) is Ending.LIFTED
    assert end(15.1, bare=False) is None
    assert end(59.0, probability=0.85) is None
    assert end(61.0, probability=0.85) is Ending.LIFTED
    assert end(61.0, probability=0.85, bare=False) is None


@pytest.mark.parametrize("down_g", [45.0, 60.0, 250.0])
def test_what_is_taken_off_while_water_is_to_come_ends_nothing_and_is_asked(
    new_brew: NewBrew, plan: Plan, down_g: float
) -> None:
    brew = new_brew(plan).jump(300.0).rest(1.0).key(Tare(3.2)).rest(2.0)
    brew.pour_to(40).until(20).jump(-down_g).rest(9.0)
    assert brew.frames[-1].pour.question is None, "it may be swirled"
    brew.rest(2.0)
    frame = brew.frames[-1]
    assert (frame.cue.word, frame.pour.question) == (Word.SCALE, Question.LIFTED)
    assert cue_sentence(frame) == (
        f"{down_g:.0f} g were taken off. Is it the brewer? Put it back. If not, go on."
    )
    brew.until(36.0)
    assert brew.frames[-1].cue.word is Word.POUR, "the next pour is due"
    brew.pour(5.0, 20.0)
    assert Word.SCALE not in {frame.cue.word for frame in brew.frames[-200:]}
    assert Word.STOP in {frame.cue.word for frame in brew.frames[-20:]}
    brew.until(72.0).pour(5.0, 20.0).rest(20.0)
    state = brew.frames[-1].pour
    assert (state.phase, state.water_g) == (Phase.DRAINING, pytest.approx(240.0, abs=0.3))


def test_a_pour_long_overdue_with_something_taken_off_is_asked_about_again(brew: Brew) -> None:
    brew.pour_to(40).until(20).jump(-100.0).until(36.0)
    assert brew.frames[-1].pour.question is None
    brew.until(45.0)
    assert brew.frames[-1].pour.question is Question.LIFTED


@pytest.mark.parametrize(("held_s", "poured_g"), [(3.4, 4.0), (4.0, 12.0)])
def test_a_brewer_that_is_back_ends_nothing_while_it_is_not_settled_what_came(
    brew: Brew, held_s: float, poured_g: float
) -> None:
    """Lifted at the end of the last pour, and poured into meanwhile: that takes a while to show."""
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(236)
    brew.jump(-300.0).rest(held_s).jump(300.0 + poured_g).rest(3.0)
    state = brew.frames[-1].pour
    assert (state.ending, state.water_g) == (None, pytest.approx(236.0 + poured_g, abs=0.3))


def test_what_was_taken_off_before_the_last_water_ends_no_brew(
    new_brew: NewBrew, plan: Plan
) -> None:
    """So shortly before it that by the time alone it may drip."""
    brew = new_brew(plan).rest(2.0).pour_to(40).until(36).pour_to(140).until(72)
    brew.jump(-200.0).rest(1.0).pour_to(40).rest(8.0)
    state = brew.frames[-1].pour
    assert (state.phase, state.ending) == (Phase.DRAINING, None)
    assert state.water_g == pytest.approx(240.0, abs=1.0)
