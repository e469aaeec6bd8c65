"""What is taken off the scale while water is still to come."""

from typing import Any

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.inputs import Tare
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending, Phase, Question
from pourcoach.wording import cue_sentence
from tests.coaching.planned_brew import NewBrew

Brew = Any


def test_a_scale_left_bare_ends_an_unfinished_brew(new_brew: NewBrew, plan: Plan) -> None:
    brew = new_brew(plan).jump(300.0).tare(Tare(3.0)).rest(2.0)
    brew.pour_to(40).until(20).jump(-340.0).rest(14.0)
    assert brew.frames[-1].pour.phase is not Phase.DONE
    brew.rest(2.0)
    assert brew.frames[-1].pour.ending is Ending.LIFTED


@pytest.mark.parametrize("down_g", [25.0, 60.0, 250.0])
def test_what_is_taken_off_while_water_is_to_come_ends_nothing_and_is_asked(
    new_brew: NewBrew, plan: Plan, down_g: float
) -> None:
    brew = new_brew(plan).jump(300.0).tare(Tare(3.0)).rest(2.0)
    brew.pour_to(40).until(20).jump(-down_g).rest(9.0)
    assert brew.frames[-1].pour.question is None, "it may be swirled"
    brew.rest(2.0)
    frame = brew.frames[-1]
    assert (frame.cue.word, frame.pour.question) == (Word.SCALE, Question.LIFTED)
    assert cue_sentence(frame) == (
        f"{down_g:.0f} g were taken off. Is it the brewer? Put it back. If not, pour on."
    )
    brew.until(36.0)
    assert brew.frames[-1].cue.word is Word.POUR, "the next pour is due"
    brew.pour(5.0, 20.0)
    assert Word.SCALE not in {frame.cue.word for frame in brew.frames[-200:]}
    assert Word.STOP in {frame.cue.word for frame in brew.frames[-20:]}
    brew.until(72.0).pour(5.0, 20.0).rest(20.0)
    state = brew.frames[-1].pour
    assert (state.phase, state.water_g) == (Phase.DRAINING, pytest.approx(240.0))


def test_a_pour_long_overdue_with_something_taken_off_is_asked_about_again(brew: Brew) -> None:
    brew.pour_to(40).until(20).jump(-100.0).until(36.0)
    assert brew.frames[-1].pour.question is None
    brew.until(45.0)
    assert brew.frames[-1].pour.question is Question.LIFTED
