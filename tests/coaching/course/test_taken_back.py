"""What was taken for a pour and is none leaves the plan as it was."""

from random import Random

import pytest

from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.pour import Question
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline

FLOW_GPS, MARK_G, FIRST_S, PRESSED_S, NEXT_S = 5.0, 40.0, 5.0, 20.0, 35.0
STAGES = (Stage("bloom", 0.0, MARK_G, FLOW_GPS), Stage("pour 1", NEXT_S, 180.0, FLOW_GPS))


def pressed(press_g: float, rise_s: float, hold_s: float, until_s: float) -> list[Frame]:
    """A hand comes on and lets go in the bloom's wait."""
    pipeline, noise = Pipeline(Plan(20.0, 9.0, 180.0, 35.0, 120.0, STAGES), Setup()), Random(1)
    frames = []
    for tenth in range(round(10 * until_s)):
        t_s = tenth / 10
        grams = min(MARK_G, FLOW_GPS * max(0.0, t_s - FIRST_S))
        if t_s < PRESSED_S + rise_s + hold_s:
            grams += press_g * min(1.0, max(0.0, t_s - PRESSED_S) / rise_s)
        frames.append(pipeline.feed(Reading(t_s, round(grams + noise.gauss(0.0, 0.02), 2))))
    return frames


@pytest.mark.parametrize(
    ("press_g", "rise_s", "hold_s"),
    [(8.0, 1.0, 0.5), (8.0, 2.0, 2.0), (15.0, 2.0, 0.5), (15.0, 3.0, 2.0), (30.0, 2.0, 2.0)],
)
def test_a_hand_that_was_taken_for_water_shortens_no_wait(
    press_g: float, rise_s: float, hold_s: float
) -> None:
    frames = pressed(press_g, rise_s, hold_s, 34.0)
    assert any(len(frame.pour.stages) == 2 for frame in frames)
    last = frames[-1]
    assert len(last.pour.stages) == 1
    assert (last.cue.word, last.pour.replans) == (Word.WAIT, ())
    assert last.pour.countdown_s == pytest.approx(FIRST_S + NEXT_S - last.t_s, abs=0.5)


def test_once_the_loss_is_asked_about_no_more_the_next_pour_is_due_at_its_time() -> None:
    frames = pressed(25.0, 4.5, 4.0, 46.0)
    asked = [frame.t_s for frame in frames if frame.pour.question is Question.LOST]
    last = frames[-1]
    assert PRESSED_S < asked[0] < asked[-1] < last.t_s
    assert last.pour.next is not None
    assert last.pour.next.at_s == NEXT_S
