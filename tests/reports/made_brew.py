"""A finished brew as its last Frame, with what a test wants to be wrong with it."""

from pourcoach.coaching.flags.risk import risk_of
from pourcoach.coaching.marking.rubric import DEFAULT_RUBRIC, read_rubric
from pourcoach.domain.advice import Flag, FlagKind, Word, usual_cue
from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending, Phase, Pour, PourState, StagePour
from tests.three_pours import PLAN, START_S

USUAL_RUBRIC = read_rubric(DEFAULT_RUBRIC)
STALL = Flag(
    FlagKind.STALL, START_S + 100.0, START_S + 101.5, "pour 2", 0.96, {"lasted_s": 1.5}, True
)
UNEVEN = Flag(
    FlagKind.UNEVEN,
    START_S + 35.0,
    START_S + 63.0,
    "pour 1",
    0.99,
    {"flow_cv": 0.31, "flow_cv_error": 0.02, "allowed_cv": 0.2},
    True,
)
KNOCK = Flag(
    FlagKind.DISTURBED,
    START_S + 50.0,
    START_S + 50.2,
    "pour 1",
    0.95,
    {"lasted_s": 0.2, "jump_g": 0.0},
)


def stage_pour(
    stage: str, start_s: float, from_g: float, to_g: float, cv: float | None = 0.07
) -> StagePour:
    """A stage poured at 5 g/s from ``start_s`` after first water."""
    end_s = START_S + start_s + (to_g - from_g) / 5.0
    place = next((n for n, one in enumerate(PLAN.stages) if one.name == stage), None)
    pour = Pour(START_S + start_s, from_g, end_s, to_g, refined=True)
    return StagePour(stage, (pour,), place, cv, 0.02)


STEADY = (
    stage_pour("bloom", 0.0, 0.0, 40.2),
    stage_pour("pour 1", 35.0, 40.2, 181.0),
    stage_pour("pour 2", 86.0, 181.0, 320.3),
)


def last_frame(
    stages: tuple[StagePour, ...] = STEADY,
    flags: tuple[Flag, ...] = (),
    *,
    plan: Plan | None = PLAN,
    ending: Ending = Ending.RESTED,
) -> Frame:
    """The last Frame; a brew without stages never began."""
    water_g = stages[-1].end_g or 0.0 if stages else 0.0
    begun = bool(stages)
    return Frame(
        t_s=200.0,
        estimate=Estimate(
            200.0, water_g, 0.05, 0.0, 0.1, False, 0.0, None, None, (), ScaleTraits(10.0)
        ),
        pour=PourState(
            phase=Phase.DONE,
            armed=False,
            brew_start_s=START_S if begun else None,
            brew_s=187.2 if begun else None,
            end_s=START_S + 187.2 if begun else None,
            ending=ending,
            water_g=water_g,
            plan=plan,
            stage=None,
            target_g=None,
            band_g=None,
            off_g=None,
            off_s=None,
            countdown_s=None,
            next=None,
            stages=stages,
        ),
        cue=usual_cue(Word.DONE, 191.2),
        flags=flags,
        risk=risk_of(flags),
    )
