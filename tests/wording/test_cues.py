"""Cues and the NEXT line in words."""

from pathlib import Path

import pytest

from pourcoach.domain.advice import Cue, CueState, Risk, RiskLevel, Word, usual_cue
from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import (
    Ending,
    NextStep,
    Phase,
    Pour,
    PourState,
    Question,
    StagePour,
)
from pourcoach.wording import arrangement_sentence, cue_sentence, next_line
from pourcoach.wording.cues import TARE_INSTRUCTION

POUR_2 = Stage("pour 2", 70.0, 240.0, 5.0)
STATE = PourState(
    phase=Phase.POURING,
    armed=False,
    brew_start_s=4.0,
    brew_s=75.0,
    end_s=None,
    ending=None,
    water_g=160.0,
    plan=None,
    stage=POUR_2,
    target_g=169.0,
    band_g=12.0,
    off_g=-9.0,
    off_s=-1.8,
    countdown_s=None,
    next=NextStep(Phase.DRAINING, 90.0),
    stages=(),
)
REST = Estimate(79.0, 160.0, 0.1, 0.0, 0.1, False, 0.0, None, None, 0.0, (), ScaleTraits())


def said(word: Word, basis: dict[str, float] | None = None, **changes: object) -> str:
    state = STATE._replace(**changes)  # type: ignore[arg-type]
    cue = usual_cue(word, 79.0)._replace(basis=basis or {})
    return cue_sentence(Frame(79.0, REST, state, cue, (), Risk(RiskLevel.LOW, ())))


@pytest.mark.parametrize("word", Word)
def test_every_word_has_its_sentence(word: Word) -> None:
    assert said(word).endswith(".")


def test_more_says_how_far_under() -> None:
    assert said(Word.MORE) == "Pour a little faster: 9.0 g under."


def test_slow_says_how_far_over() -> None:
    assert said(Word.SLOW, off_g=14.2) == "Pour more slowly: 14 g over."


def test_slow_for_a_surge_under_the_curve_gives_no_figure() -> None:
    assert said(Word.SLOW) == "Pour more slowly."


def test_stop_names_the_mark() -> None:
    assert said(Word.STOP, {"mark_g": 240.0}) == "Stop: 240 g is reached."


def test_wait_counts_down() -> None:
    sentence = said(Word.WAIT, phase=Phase.WAITING, countdown_s=12.3)
    assert sentence == "Wait 13 s. Then pour to 240 g (pour 2)."


def test_wait_to_water_that_came_too_early_says_so() -> None:
    state = STATE._replace(phase=Phase.POURING, countdown_s=11.2)
    cue = Cue(Word.WAIT, 79.0, CueState.DUE)
    frame = Frame(79.0, REST, state, cue, (), Risk(RiskLevel.LOW, ()))
    assert cue_sentence(frame) == "Too early: stop, and wait 12 s."


def test_more_to_water_that_stopped_short_says_to_go_on() -> None:
    stages = (StagePour("pour 2", (Pour(60.0, 140.0, 70.0, 160.0),)),)
    assert said(Word.MORE, stages=stages) == "Go on to 240 g: 80 g still to come."


def test_a_pour_that_is_overdue_says_how_late_and_what_to_do() -> None:
    assert said(Word.POUR, overdue_s=25.0) == (
        "0:25 late: pour to 240 g (pour 2), or press Space twice to end."
    )


def test_a_brew_left_alone_says_when_it_will_be_closed() -> None:
    sentence = said(Word.POUR, overdue_s=75.0, brew_s=110.0)
    assert sentence.endswith("Left alone, the brew closes at 3:35.")


def test_a_question_is_asked_and_not_called_a_lost_reading() -> None:
    cue = Cue(Word.SCALE, 79.0, CueState.DUE)
    state = STATE._replace(question=Question.COFFEE, rise_g=20.0)
    frame = Frame(79.0, REST, state, cue, (), Risk(RiskLevel.LOW, ()))
    assert cue_sentence(frame).startswith("20 g came in, as much as the coffee.")
    lost = frame._replace(cue=cue._replace(state=CueState.LOST))
    assert cue_sentence(lost).startswith("No reading from the scale.")


@pytest.mark.parametrize("arrangement", Arrangement)
def test_the_instruction_to_tare_is_one_and_the_same(arrangement: Arrangement) -> None:
    unarmed = STATE._replace(phase=Phase.READY, armed=False, arrangement=arrangement)
    assert said(Word.TARE, phase=Phase.READY, arrangement=arrangement) == f"{next_line(unarmed)}."


def test_the_instruction_to_tare_is_that_of_the_readme() -> None:
    readme = Path(__file__).parents[2].joinpath("README.md").read_text(encoding="utf-8")
    instruction = TARE_INSTRUCTION[Arrangement.BREWER_ON_SCALE].removesuffix(" press t.")
    assert f"{instruction} press `t`" in readme


def test_what_was_taken_off_since_the_tare_is_asked_back() -> None:
    frame = Frame(
        79.0,
        REST._replace(mass_g=-612.0),
        STATE._replace(phase=Phase.READY),
        usual_cue(Word.TARE, 79.0),
        (),
        Risk(RiskLevel.LOW, ()),
    )
    assert cue_sentence(frame).startswith("Something was taken off since the tare: put it back")


@pytest.mark.parametrize(
    ("ending", "sentence"),
    [
        (Ending.LIFTED, "Done: 160.0 g of water in 1:15."),
        (Ending.LEFT, "Closed, since nobody poured for 3:00: 160.0 g of water in 1:15."),
        (Ending.TAPE, "The recording ends here: 160.0 g of water in 1:15."),
    ],
)
def test_done_says_water_and_time(ending: Ending, sentence: str) -> None:
    assert said(Word.DONE, phase=Phase.DONE, ending=ending) == sentence


@pytest.mark.parametrize(
    ("step", "phase", "line"),
    [
        (NextStep(Phase.POURING, 70.0, "pour 2", 180.0), Phase.WAITING, "Pour 2: to 180 g at 1:10"),
        (NextStep(Phase.WAITING, 62.0), Phase.POURING, "Wait at 1:02"),
        (NextStep(Phase.DRAINING, 90.0), Phase.POURING, "Let it drain at 1:30"),
        (NextStep(Phase.DONE, 150.0), Phase.DRAINING, "Done at 2:30"),
        (NextStep(Phase.DONE, None), Phase.DONE, ""),
    ],
)
def test_the_next_line(step: NextStep, phase: Phase, line: str) -> None:
    assert next_line(STATE._replace(phase=phase, next=step)) == line


def test_a_plan_worked_out_again_is_said_once_for_a_while() -> None:
    fresh = STATE._replace(replanned_s=74.0)
    assert next_line(fresh) == "NEW PLAN: Let it drain at 1:30"
    assert next_line(fresh._replace(brew_s=90.0)) == "Let it drain at 1:30"


@pytest.mark.parametrize(
    ("looks_like", "said"),
    [
        (Arrangement.BREWER_ON_SCALE, "choose brewer-on-scale"),
        (Arrangement.SERVER_ON_SCALE, "choose server-on-scale"),
    ],
)
def test_a_contradicted_arrangement_says_what_to_choose(looks_like: Arrangement, said: str) -> None:
    assert said in (arrangement_sentence(STATE._replace(looks_like=looks_like)) or "")


def test_an_arrangement_that_fits_says_nothing() -> None:
    assert arrangement_sentence(STATE) is None


ICED = Plan(
    dose_g=20.0,
    ratio=10.0,
    water_g=200.0,
    bloom_s=35.0,
    finish_s=150.0,
    stages=(Stage("bloom", 0.0, 40.0, 5.0), Stage("pour 1", 35.0, 200.0, 5.0)),
    ice_g=100.0,
    bypass_g=30.0,
)


def test_ice_and_bypass_are_said_when_it_is_their_time() -> None:
    assert said(Word.TARE, plan=ICED).startswith("100 g of ice go into the server. Put brewer,")
    done = said(Word.DONE, plan=ICED, phase=Phase.DONE)
    assert done.endswith(" Now add 30 g of water to the cup.")
    assert "cup" not in said(Word.DONE, phase=Phase.DONE)
