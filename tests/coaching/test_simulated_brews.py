"""The whole fold on the project's simulator: no flag for a steady hand, for each fault its own."""

from dataclasses import replace
from functools import cache

import pytest

from pourcoach.domain.advice import FlagKind, Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Begin, Reading
from pourcoach.domain.plan import Arrangement, Plan, Stage, Then
from pourcoach.domain.pour import Ending
from pourcoach.domain.setup import Setup
from pourcoach.domain.units import Seconds
from pourcoach.pipeline import Pipeline
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.faults import (
    BloomWater,
    Dropout,
    Knock,
    Landing,
    Lean,
    Lift,
    OrderedFault,
    SlowBed,
    Stall,
    Start,
    Surge,
    Uneven,
)
from pourcoach.simulation.scale.scale_model import ScaleModel
from pourcoach.wording import cue_sentence

PLAN = Plan(
    dose_g=15.0,
    ratio=14.0,
    water_g=210.0,
    bloom_s=30.0,
    finish_s=130.0,
    stages=(
        Stage("bloom", 0.0, 30.0, 5.0),
        Stage("pour 1", 30.0, 120.0, 5.0),
        Stage("pour 2", 64.0, 210.0, 5.0),
    ),
)


@cache
def readings_of(
    *faults: OrderedFault, rate_hz: float, arrangement: Arrangement
) -> tuple[list[Reading], Seconds]:
    """Of a brew by PLAN, and when its first water leaves the spout."""
    seed = 11 if arrangement is Arrangement.BREWER_ON_SCALE else 3
    brew = SimulatedBrew(
        PLAN, "steady", seed, ScaleModel(rate_hz=rate_hz), arrangement=arrangement, faults=faults
    )
    return brew.run(), brew.truth.first_water_s


def brewed(*faults: OrderedFault, rate_hz: float = 20.0, plan: Plan = PLAN) -> list[Frame]:
    """Poured by PLAN, judged by ``plan``."""
    readings, _ = readings_of(*faults, rate_hz=rate_hz, arrangement=Arrangement.BREWER_ON_SCALE)
    pipeline = Pipeline(plan, Setup())
    frames = [pipeline.feed(reading) for reading in readings]
    return [*frames, pipeline.finish(readings[-1].t_s)]


@pytest.mark.parametrize("rate_hz", [10.0, 20.0, 40.0, 80.0])
def test_a_steady_hand_is_flagged_for_no_fault(rate_hz: float) -> None:
    frames = brewed(rate_hz=rate_hz)
    assert frames[-1].flags == ()
    words = [frame.cue.word for frame in frames]
    said = [word for word, before in zip(words[1:], words, strict=False) if word is not before]
    assert said == [
        *(Word.BLOOM, Word.STOP, Word.WAIT),
        *(Word.POUR, Word.STOP, Word.WAIT),
        *(Word.POUR, Word.STOP, Word.DRAIN),
        Word.DONE,
    ]


@pytest.mark.parametrize(
    ("fault", "kind"),
    [
        (Uneven(1, 0.4), FlagKind.UNEVEN),
        (Stall(1, 2.0), FlagKind.STALL),
        (Stall(2, 2.0, share=0.1), FlagKind.STALL),
        (Surge(1, 1.4, 2.2), FlagKind.SURGE),
        (Landing(1, 12.0), FlagKind.OVERSHOOT),
        (Landing(2, -21.0), FlagKind.SHORT),
        (BloomWater(-0.4), FlagKind.BLOOM_LIGHT),
        (BloomWater(0.4), FlagKind.BLOOM_HEAVY),
        (Start(1, -10.0), FlagKind.BLOOM_SHORT),
        (Start(1, 25.0), FlagKind.BLOOM_LONG),
        (Start(2, -14.0), FlagKind.EARLY),
        (Start(2, 16.0), FlagKind.LATE),
        (Knock(56.0, 20.0), FlagKind.DISTURBED),
        (Knock(40.0, -20.0), FlagKind.DISTURBED),
        (Lean(54.0, 20.0, 3.0), FlagKind.DISTURBED),
        (Lift(100.0, 3.0), FlagKind.LIFTED),
        (Lift(45.0, 4.0), FlagKind.LIFTED),
        (Dropout(20.0, 2.0), FlagKind.GAP),
        (Dropout(40.0, 2.0), FlagKind.GAP),
    ],
    ids=lambda value: value.value if isinstance(value, FlagKind) else "",
)
def test_one_fault_is_one_flag(fault: OrderedFault, kind: FlagKind) -> None:
    assert [flag.kind for flag in brewed(fault)[-1].flags] == [kind]


def test_the_water_over_a_gap_is_counted() -> None:
    whole, with_gap = brewed()[-1].pour, brewed(Dropout(40.0, 2.0))[-1].pour
    assert with_gap.water_g == pytest.approx(whole.water_g, abs=1.0)
    assert len(with_gap.stages) == len(whole.stages)


def test_the_drip_shows_when_the_bed_has_drained() -> None:
    brew = SimulatedBrew(
        PLAN,
        "steady",
        3,
        ScaleModel(),
        arrangement=Arrangement.SERVER_ON_SCALE,
        faults=[SlowBed(3.5)],
    )
    readings = brew.run()
    readings += brew.advance_to(readings[-1].t_s + 15.0)
    pipeline = Pipeline(PLAN, Setup(arrangement=Arrangement.SERVER_ON_SCALE))
    pipeline.feed(Begin(brew.truth.first_water_s))
    late = [reading for reading in readings if reading.t_s > brew.truth.first_water_s]
    for reading in late:
        pipeline.feed(reading)
    frame = pipeline.finish(late[-1].t_s)
    assert frame.pour.ending in (Ending.RESTED, Ending.LIFTED)
    assert frame.pour.end_s == pytest.approx(brew.truth.drained_s, abs=6.0)
    assert [flag.kind for flag in frame.flags] == [FlagKind.SLOW_DRAIN]
    assert frame.pour.looks_like is None


TOUCHES = {FlagKind.DISTURBED, FlagKind.LIFTED}


def with_then(index: int, then: Then) -> Plan:
    stages = list(PLAN.stages)
    stages[index] = replace(stages[index], then=then)
    return replace(PLAN, stages=tuple(stages))


# The bloom is in at 6 s, pour 1 at 48 s, pour 2 at 82 s.
@pytest.mark.parametrize(
    ("index", "then", "touch"),
    [
        (0, Then.SWIRL, Lean(9.0, 20.0, 3.0)),
        (0, Then.TAP, Knock(8.0, -20.0)),
        (0, Then.LIFT_OFF, Lift(10.0)),
        (1, Then.SWIRL, Lift(51.0)),
        (2, Then.SWIRL, Lean(86.0, 20.0, 3.0)),
    ],
)
def test_a_touch_that_the_plan_asks_for_is_no_disturbance(
    index: int, then: Then, touch: OrderedFault
) -> None:
    unasked = brewed(touch)[-1]
    assert TOUCHES & {flag.kind for flag in unasked.flags}
    frames = brewed(touch, plan=with_then(index, then))
    reported = {flag.kind for frame in frames for flag in frame.flags}
    assert not TOUCHES & reported


def dripped(*faults: OrderedFault, plan: Plan) -> list[Frame]:
    """The server alone on the scale; the brewer begins the clock with the first water."""
    readings, first_water_s = readings_of(
        *faults, rate_hz=10.0, arrangement=Arrangement.SERVER_ON_SCALE
    )
    pipeline = Pipeline(plan, Setup(arrangement=Arrangement.SERVER_ON_SCALE))
    frames = [pipeline.feed(Begin(first_water_s))]
    frames += [pipeline.feed(reading) for reading in readings if reading.t_s > first_water_s]
    return [*frames, pipeline.finish(readings[-1].t_s)]


@pytest.mark.parametrize(
    ("index", "then", "touch", "says"),
    [
        (0, Then.SWIRL, Lean(9.0, 20.0, 3.0), "Swirl the brewer. Wait "),
        (0, Then.TAP, Knock(8.0, -20.0, 0.4), "Tap the brewer. Wait "),
        (1, Then.STIR, Lift(51.0), "Stir. Wait "),
        # A pour that took less time than the plan gave it.
        (1, Then.SWIRL, Knock(44.0, 20.0), "Swirl the brewer. Wait "),
    ],
)
def test_with_the_server_on_the_scale_the_clock_says_when_a_touch_was_asked_for(
    index: int, then: Then, touch: OrderedFault, says: str
) -> None:
    assert TOUCHES & {flag.kind for flag in dripped(touch, plan=PLAN)[-1].flags}
    frames = dripped(touch, plan=with_then(index, then))
    assert not TOUCHES & {flag.kind for frame in frames for flag in frame.flags}
    assert any(cue_sentence(frame).startswith(says) for frame in frames)


def test_with_the_server_on_the_scale_a_later_touch_is_noted() -> None:
    flags = dripped(Knock(26.0, -20.0), plan=with_then(0, Then.SWIRL))[-1].flags
    assert FlagKind.DISTURBED in {flag.kind for flag in flags}


def test_a_touch_long_after_is_noted_all_the_same() -> None:
    flags = brewed(Knock(26.0, -20.0), plan=with_then(0, Then.SWIRL))[-1].flags
    assert [flag.kind for flag in flags] == [FlagKind.DISTURBED]


def test_what_is_to_be_done_is_said_in_the_wait_while_it_is_time() -> None:
    frames = brewed(plan=with_then(0, Then.SWIRL))
    waits = [frame for frame in frames if frame.cue.word is Word.WAIT and frame.pour.brew_s < 30.0]
    said = [cue_sentence(frame) for frame in waits]
    assert said[0].startswith("Swirl the brewer. Wait ")
    assert said[-1].startswith("Wait ")
