"""What must hold whatever is poured."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pourcoach.coaching.course.course import anchored, shifted, spread_rest
from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Begin, Finish, Mark, Tare, Undo
from pourcoach.domain.plan import Arrangement, Plan, Stage
from pourcoach.domain.pour import Phase
from pourcoach.domain.setup import Setup
from pourcoach.wording import cue_sentence, flag_sentence
from tests.coaching.conftest import Brew, three_stages

MASSES = st.floats(10.0, 60.0)
FLOWS = st.floats(3.0, 9.0)
RESTS = st.floats(1.5, 15.0)
POURS = st.lists(st.tuples(MASSES, FLOWS, RESTS), min_size=1, max_size=3)
KEYS = {"begin": Begin, "finish": Finish, "undo": Undo, "mark": Mark}
ARRANGEMENTS = (Arrangement.BREWER_ON_SCALE, Arrangement.SERVER_ON_SCALE)
QUICK = settings(max_examples=15, deadline=None)


def brewed(pours: list[tuple[float, float, float]], plan: Plan | None, from_s: float = 0.0) -> Brew:
    brew = Brew(plan)
    brew.t_s = from_s
    brew.rest(1.0)
    for mass_g, flow_gps, rest_s in pours:
        brew.pour(flow_gps, mass_g / flow_gps).rest(rest_s)
    brew.close()
    return brew


def without_times(frame: Frame) -> list[Any]:
    state = frame.pour
    return [
        state.phase,
        [stage.stage for stage in state.stages],
        [round(stage.end_g or 0.0, 1) for stage in state.stages],
        [flag.kind for flag in frame.flags],
        frame.cue.word,
    ]


@QUICK
@given(POURS)
def test_a_shifted_clock_changes_nothing(pours: list[tuple[float, float, float]]) -> None:
    early = brewed(pours, three_stages())
    late = brewed(pours, three_stages(), from_s=1000.0)
    assert without_times(late.frames[-1]) == without_times(early.frames[-1])


@QUICK
@given(POURS)
def test_all_water_is_counted_once(pours: list[tuple[float, float, float]]) -> None:
    brew = brewed(pours, None)
    state = brew.frames[-1].pour
    assert state.water_g == pytest.approx(brew.mass_g, abs=0.3)
    counted = sum(pour.mass_g or 0.0 for stage in state.stages for pour in stage.pours)
    assert counted == pytest.approx(brew.mass_g, abs=0.3)


@QUICK
@given(POURS)
def test_phases_go_one_way_and_each_fault_is_flagged_once(
    pours: list[tuple[float, float, float]],
) -> None:
    frames = brewed(pours, three_stages()).frames
    phases = [frame.pour.phase for frame in frames]
    begun = next((n for n, phase in enumerate(phases) if phase is not Phase.READY), len(phases))
    assert Phase.READY not in phases[begun:]
    assert set(phases[phases.index(Phase.DONE) :]) == {Phase.DONE}
    of_a_stage = {"overshoot", "short", "bloom-light", "bloom-heavy", "early", "late", "uneven"}
    flags = frames[-1].flags
    stages = [(flag.kind, flag.stage) for flag in flags if flag.kind.value in of_a_stage]
    assert len(stages) == len(set(stages))
    assert all(0.0 <= flag.confidence <= 1.0 for flag in flags)
    assert all(flag.start_s <= flag.end_s for flag in flags)


@QUICK
@given(after=st.integers(0, 1), water_g=st.floats(1.0, 300.0))
def test_the_rest_of_a_plan_still_lands_the_water(after: int, water_g: float) -> None:
    plan = three_stages()
    again, places = spread_rest(plan, after, water_g)
    assert [stage.name for stage in again.stages] == [plan.stages[at].name for at in places]
    marks = [stage.to_g for stage in again.stages]
    assert marks == sorted(marks)
    assert again.stages[: after + 1] == plan.stages[: after + 1]
    if len(marks) > after + 1:
        assert marks[-1] == plan.water_g


@QUICK
@given(after=st.integers(0, 2), by_s=st.floats(-60.0, 60.0))
def test_a_shifted_plan_keeps_its_order_and_its_marks(after: int, by_s: float) -> None:
    plan = three_stages()
    again = shifted(plan, after, by_s)
    starts = [stage.start_s for stage in again.stages]
    assert starts == sorted(starts)
    assert [stage.to_g for stage in again.stages] == [stage.to_g for stage in plan.stages]


def test_an_overshoot_takes_its_share_from_every_pour_left() -> None:
    plan = replace(three_stages())
    again, _ = spread_rest(plan, 0, 90.0)
    assert [stage.to_g for stage in again.stages] == pytest.approx([40.0, 165.0, 240.0])


def test_pours_too_small_to_pour_are_joined() -> None:
    again, _ = spread_rest(three_stages(), 0, 226.0)
    assert [(stage.name, stage.to_g) for stage in again.stages[1:]] == [("pour 2", 240.0)]


def test_after_a_light_stage_the_next_one_is_as_large_as_its_water() -> None:
    again, _ = spread_rest(three_stages(stages=SMALL), 0, 21.0)
    assert [stage.to_g for stage in again.stages] == pytest.approx([36.0, 43.5, 66.0])


def test_with_all_water_in_no_stage_is_left() -> None:
    again, _ = spread_rest(three_stages(), 0, 235.0)
    assert [stage.name for stage in again.stages] == ["bloom"]


def test_begun_stages_are_shown_where_they_began() -> None:
    shown = anchored(three_stages(), {0: 0.0, 1: 33.0})
    assert [stage.start_s for stage in shown.stages] == [0.0, 33.0, 70.0]


SMALL = (
    Stage("bloom", 0.0, 36.0, 5.0),
    Stage("pour 1", 30.0, 51.0, 5.0),
    Stage("pour 2", 70.0, 66.0, 5.0),
)
ACTIONS = st.lists(
    st.one_of(
        st.tuples(st.just("pour"), st.floats(0.5, 12.0), st.floats(0.2, 10.0)),
        st.tuples(st.just("rest"), st.floats(0.2, 30.0)),
        st.tuples(st.just("jump"), st.floats(-400.0, 400.0)),
        st.tuples(st.just("silence"), st.floats(0.2, 3.0)),
        st.tuples(st.just("key"), st.sampled_from(["tare", "begin", "finish", "undo", "mark"])),
    ),
    min_size=1,
    max_size=8,
)


@QUICK
@given(actions=ACTIONS, planned=st.booleans(), under=st.booleans())
def test_whatever_is_done_there_is_a_frame_for_it(
    actions: list[tuple[Any, ...]], planned: bool, under: bool
) -> None:
    setup = Setup(arrangement=ARRANGEMENTS[under])
    brew = Brew(three_stages() if planned else None, setup).rest(0.5)
    for name, *values in actions:
        match name:
            case "pour":
                brew.pour(*values)
            case "rest":
                brew.rest(*values)
            case "jump":
                brew.jump(*values)
            case "silence":
                brew.silence(*values)
            case _ if values[0] == "tare":
                brew.key(Tare(brew.t_s))
            case _:
                brew.key(KEYS[values[0]](brew.t_s))
    frame = brew.close()
    assert frame.pour.phase is Phase.DONE
    assert frame.cue.word is Word.DONE
    assert all(cue_sentence(one) for one in brew.frames[::7])
    assert all(flag_sentence(flag) for flag in frame.flags)
