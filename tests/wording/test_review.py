"""The one thing to fix, and the channeling risk."""

from dataclasses import replace

import pytest

from pourcoach.coaching.flags.risk import BedLook
from pourcoach.domain.advice import Flag, FlagKind, Risk, RiskLevel, Word, usual_cue
from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.frame import Frame
from pourcoach.domain.pour import Phase, PourState
from pourcoach.wording import bed_sentence, one_thing_to_fix, risk_sentences

REST = Estimate(79.0, 160.0, 0.1, 0.0, 0.1, False, 0.0, None, None, 0.0, (), ScaleTraits())
STATE = PourState(
    phase=Phase.DONE,
    armed=False,
    brew_start_s=4.0,
    brew_s=75.0,
    end_s=79.0,
    ending=None,
    water_g=160.0,
    plan=None,
    stage=None,
    target_g=None,
    band_g=None,
    off_g=None,
    off_s=None,
    countdown_s=None,
    next=None,
    stages=(),
)
STALL = Flag(
    FlagKind.STALL,
    10.0,
    12.0,
    "pour 1",
    0.95,
    {"lasted_s": 2.0, "lowest_gps": 0.0, "usual_gps": 5},
    True,
)
LATE = Flag(
    FlagKind.LATE,
    70.0,
    82.0,
    "pour 2",
    0.99,
    {"off_s": 12.0, "begun_s": 82.0, "planned_s": 70.0, "allowed_s": 8.0},
)
GAP = Flag(FlagKind.GAP, 30.0, 32.0, None, 0.99, {"lasted_s": 2.0})


def frame(*flags: Flag) -> Frame:
    return Frame(79.0, REST, STATE, usual_cue(Word.DONE, 79.0), flags, Risk(RiskLevel.LOW, ()))


@pytest.mark.parametrize("flags", [(), (GAP,)])
def test_what_was_no_fault_of_the_hand_is_nothing_to_fix(flags: tuple[Flag, ...]) -> None:
    assert one_thing_to_fix(frame(*flags)) is None


def test_the_gravest_is_reported_with_its_figures_and_advice() -> None:
    fix = one_thing_to_fix(frame(LATE, STALL, GAP))
    assert fix is not None
    assert fix.headline == "KEEP POURING"
    assert "2.0 s" in fix.evidence
    assert fix.advice.startswith("Fill the kettle")


@pytest.mark.parametrize(("often", "said"), [(1, False), (2, True)])
def test_what_happened_more_than_once_says_how_often(often: int, said: bool) -> None:
    fix = one_thing_to_fix(frame(*[STALL] * often))
    assert fix is not None
    assert fix.evidence.endswith(f"({often} times in this brew.)") is said


def test_a_habit_outweighs_one_graver_slip() -> None:
    fix = one_thing_to_fix(frame(STALL, *[LATE] * 8))
    assert fix is not None
    assert fix.headline == "BE ON TIME"
    assert "8 times" in fix.evidence


def test_a_low_risk_still_says_what_a_scale_cannot_see() -> None:
    sentences = risk_sentences(Risk(RiskLevel.LOW, ()))
    assert "low" in sentences[0]
    assert "does not prove" in sentences[-1]


def test_a_risk_gives_its_reasons_and_what_to_look_for() -> None:
    sentences = risk_sentences(Risk(RiskLevel.RAISED, (STALL,)))
    assert sentences[0] == "Channeling risk from the pour: raised."
    assert sentences[1].startswith("Stalled pour: ")
    assert "dry patch" in sentences[2]
    assert "does not prove" in sentences[-1]


@pytest.mark.parametrize(
    ("level", "look", "said"),
    [
        (RiskLevel.LOW, BedLook.FLAT, "Both suggest an even draw."),
        (RiskLevel.HIGH, BedLook.HOLE, "Both suggest that water took a path of its own."),
        (RiskLevel.RAISED, BedLook.FLAT, "taste decides"),
        (RiskLevel.LOW, BedLook.ONE_SIDE_HIGH, "look to where it was poured"),
    ],
)
def test_the_bed_is_set_beside_the_risk(level: RiskLevel, look: BedLook, said: str) -> None:
    assert said in bed_sentence(Risk(level, ()), look)


def test_the_same_reason_again_is_reported_once_with_its_stages() -> None:
    again = replace(STALL, stage="pour 2")
    sentences = risk_sentences(Risk(RiskLevel.RAISED, (STALL, again)))
    assert [line for line in sentences if line.startswith("Stalled pour")] == [
        "Stalled pour: The water all but stopped for 2.0 s in pour 1 and then went on."
        " Also in pour 2."
    ]


def test_the_reason_says_what_it_does_to_the_cup_and_what_came_after() -> None:
    alone = one_thing_to_fix(frame(STALL, GAP))
    assert alone is not None
    assert alone.reason.startswith("A broken pour lets part of the bed drain")
    assert "else was noted" not in alone.reason
    first = one_thing_to_fix(frame(LATE, STALL))
    assert first is not None
    assert first.reason.endswith(
        "That usually moves the cup more than what else was noted: late pour."
    )
