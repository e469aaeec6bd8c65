"""Where a brew stands: begun, which stage, how far off, over."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from pourcoach.domain.advice import FlagKind, Word
from pourcoach.domain.inputs import Begin, Finish, Reading, Tare, Undo
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending, Phase, PourState
from pourcoach.pipeline import Pipeline
from tests.coaching.conftest import grams, seconds, three_stages
from tests.coaching.planned_brew import NewBrew

Brew = Any
REACHED_G = 0.6
"""How near a target in mid-pour is known: its start is, to 0.1 s of 5 or 6 g/s."""


def test_a_brew_to_plan_goes_through_its_phases(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).until(250)
    phases = list(dict.fromkeys(frame.pour.phase for frame in brew.frames))
    assert phases == [Phase.READY, Phase.POURING, Phase.WAITING, Phase.DRAINING, Phase.DONE]
    state = brew.frames[-1].pour
    assert state.ending is Ending.RESTED
    assert [stage.stage for stage in state.stages] == ["bloom", "pour 1", "pour 2"]
    assert [stage.end_g for stage in state.stages] == grams([40.0, 140.0, 240.0])
    assert brew.frames[-1].flags == ()


def test_the_clock_starts_at_the_first_water(brew: Brew) -> None:
    assert brew.frames[-1].pour.brew_start_s is None
    brew.pour(5.0, 1.0)
    state = brew.frames[-1].pour
    assert state.brew_start_s == seconds(2.0)
    assert state.brew_s == seconds(1.0)


def test_on_the_curve_the_pour_is_neither_ahead_nor_behind(brew: Brew) -> None:
    brew.pour(5.0, 4.0)
    state = brew.frames[-1].pour
    assert state.target_g == pytest.approx(20.0, abs=REACHED_G)
    assert state.off_g == pytest.approx(0.0, abs=REACHED_G)
    assert state.off_s == seconds(0.0)


def test_ahead_is_reported_in_grams_and_seconds(brew: Brew) -> None:
    brew.pour(6.0, 4.0)
    state = brew.frames[-1].pour
    assert state.off_g == pytest.approx(4.0, abs=REACHED_G)
    assert state.off_s == seconds(0.8)


def test_a_stage_begun_late_is_poured_from_then_on_not_chased(brew: Brew) -> None:
    brew.pour_to(40).until(36).pour(5.0, 3.0)
    state = brew.frames[-1].pour
    assert state.off_g == pytest.approx(0.0, abs=REACHED_G)
    assert state.replanned_s is None


def test_the_wait_counts_down_to_the_next_stage(brew: Brew) -> None:
    brew.pour_to(40).until(22)
    state = brew.frames[-1].pour
    assert state.countdown_s == seconds(10.0)
    assert state.next is not None
    assert (state.next.stage, state.next.to_g, state.next.at_s) == ("pour 1", 140.0, 30.0)


@pytest.mark.parametrize("weight_g", [30.0, -30.0])
def test_a_vessel_on_the_platform_disarms_until_it_is_tared(brew: Brew, weight_g: float) -> None:
    assert brew.frames[-1].pour.armed
    brew.jump(weight_g).rest(1.0)
    assert not brew.frames[-1].pour.armed
    brew.key(Tare(brew.t_s)).rest(0.5)
    assert brew.frames[-1].pour.armed


def test_water_on_an_unarmed_platform_starts_nothing(brew: Brew) -> None:
    brew.jump(30.0).rest(1.0).pour(5.0, 3.0)
    assert brew.frames[-1].pour.phase is Phase.READY


def test_begin_takes_what_stands_there_as_no_water(brew: Brew) -> None:
    brew.jump(400.0).rest(1.0).key(Begin(brew.t_s)).rest(0.5).pour(5.0, 3.0)
    state = brew.frames[-1].pour
    assert state.phase is Phase.POURING
    assert state.water_g == grams(15.0)
    assert state.stages[0].pours[0].start_g == grams(0.0)


def test_coffee_dosed_onto_the_scale_and_tared_is_no_first_water(brew: Brew) -> None:
    brew.pour(4.0, 5.0).rest(2.0)
    assert brew.frames[-1].pour.phase is Phase.POURING
    brew.key(Tare(brew.t_s)).rest(3.0)
    assert brew.frames[-1].pour.phase is Phase.READY
    assert brew.frames[-1].pour.armed
    start_s = brew.t_s
    brew.pour_to(40).rest(3.0)
    assert brew.frames[-1].pour.brew_start_s == seconds(start_s)
    assert brew.frames[-1].flags == ()


def test_undo_takes_back_a_tare_of_the_first_water(brew: Brew) -> None:
    brew.pour(4.0, 5.0).rest(2.0)
    brew.key(Tare(brew.t_s)).rest(0.5)
    brew.key(Undo(brew.t_s)).rest(0.5)
    assert brew.frames[-1].pour.phase is Phase.POURING
    assert brew.frames[-1].pour.water_g == grams(20.0)


def test_a_tare_in_mid_brew_leaves_the_water_as_it_was(brew: Brew) -> None:
    brew.pour_to(40).until(20)
    brew.key(Tare(brew.t_s)).until(32).pour(5.0, 20.0).rest(2.0)
    state = brew.frames[-1].pour
    assert state.water_g == grams(140.0)
    assert state.stages[1].end_g == grams(140.0)


def test_a_vessel_set_down_in_mid_brew_is_no_water(brew: Brew) -> None:
    brew.pour_to(40).until(20).jump(55.0).until(32).pour_to(195).rest(2.0)
    state = brew.frames[-1].pour
    assert state.water_g == grams(140.0)
    assert state.stages[1].end_g == grams(140.0)


def test_a_brewer_lifted_and_put_back_changes_nothing(brew: Brew) -> None:
    brew.pour_to(40).until(20).jump(-300.0).rest(3.0).jump(300.0).until(32)
    assert brew.frames[-1].pour.water_g == grams(40.0)
    brew.pour_to(140).rest(2.0)
    state = brew.frames[-1].pour
    assert state.phase is Phase.WAITING
    assert state.water_g == grams(140.0)


def test_a_lift_after_the_last_mark_ends_the_brew_where_it_began(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).until(130).jump(-300.0)
    lifted_s = brew.t_s
    brew.rest(4.0)
    assert brew.frames[-1].pour.phase is Phase.DRAINING
    brew.rest(2.0)
    state = brew.frames[-1].pour
    assert (state.ending, state.end_s) == (Ending.LIFTED, seconds(lifted_s))
    assert brew.kinds == []
    # A key that comes too late has ended nothing, and taking it back begins nothing.
    brew.key(Finish(brew.t_s)).key(Undo(brew.t_s)).rest(0.5)
    assert brew.frames[-1].pour.ending is Ending.LIFTED


def test_a_tape_that_stops_after_the_lift_ended_with_the_lift(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).until(130).jump(-300.0)
    lifted_s = brew.t_s
    brew.rest(1.0)
    state = brew.close().pour
    assert (state.ending, state.end_s) == (Ending.LIFTED, seconds(lifted_s))


def test_a_brewer_lifted_to_look_under_it_ends_nothing(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).until(110).jump(-300.0)
    brew.rest(3.0).jump(300.0).rest(10.0)
    assert brew.frames[-1].pour.phase is Phase.DRAINING
    assert brew.kinds == [FlagKind.LIFTED]


def test_what_drips_from_a_brewer_held_over_the_server_is_no_water(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).until(110).jump(-300.0)
    brew.pour(0.4, 8.0)
    state = brew.frames[-1].pour
    assert (state.phase, state.ending) == (Phase.DONE, Ending.LIFTED)
    assert state.water_g == grams(240.0)


def test_the_key_ends_and_undo_goes_on(brew: Brew) -> None:
    brew.pour_to(40).rest(3.0).key(Finish(brew.t_s))
    assert brew.frames[-1].pour.ending is Ending.KEY
    brew.key(Undo(brew.t_s)).rest(0.5)
    assert brew.frames[-1].pour.phase is Phase.WAITING
    brew.until(32).pour_to(140).rest(2.0)
    assert [stage.stage for stage in brew.frames[-1].pour.stages] == ["bloom", "pour 1"]


def test_a_tape_that_stops_ends_the_brew_with_it(brew: Brew) -> None:
    brew.pour_to(40).rest(3.0)
    frame = brew.close()
    assert (frame.pour.phase, frame.pour.ending) == (Phase.DONE, Ending.TAPE)


def test_without_a_plan_pours_are_numbered_and_measured(new_brew: Callable[..., Brew]) -> None:
    brew = new_brew(None).pour_to(40).rest(20).pour_to(140).rest(20).pour_to(240).rest(3)
    state = brew.frames[-1].pour
    assert [stage.stage for stage in state.stages] == ["pour 1", "pour 2", "pour 3"]
    assert [stage.mass_g for stage in state.stages] == grams([40.0, 100.0, 100.0])
    assert (state.target_g, state.stage, state.next) == (None, None, None)


def test_equal_inputs_give_equal_frames(plan: Plan, new_brew: Callable[..., Brew]) -> None:
    def once() -> list[Any]:
        return new_brew(plan).pour_to(43).until(36).pour_to(140).rest(5).frames

    assert once() == once()


def test_a_reading_before_any_water_shows_no_brew_time(brew: Brew) -> None:
    brew.feed(Reading(brew.t_s + 0.1, 0.0))
    assert brew.frames[-1].pour.brew_s is None


def test_a_rise_as_small_as_noise_is_no_first_water_yet(brew: Brew) -> None:
    brew.pour(4.0, 0.2)
    assert brew.frames[-1].pour.phase is Phase.READY
    brew.pour(4.0, 0.4)
    assert brew.frames[-1].pour.phase is Phase.POURING
    assert brew.frames[-1].pour.brew_start_s == seconds(2.0)


def keyed(weight_g: Callable[[float], float], keys: list[Tare | Undo], until_s: float) -> PourState:
    """Ten readings a second through the whole pipeline, since what the estimate makes of a tare
    matters here.
    """
    pipeline = Pipeline(three_stages())
    times = [0.1 * tick for tick in range(round(until_s / 0.1))]
    items = [Reading(t_s, weight_g(t_s)) for t_s in times]
    for item in sorted([*keys, *items], key=lambda item: item.t_s):
        frame = pipeline.feed(item)
    return frame.pour


def test_a_tare_while_the_first_water_runs_leaves_the_brew_as_it_was() -> None:
    state = keyed(lambda t_s: 5.0 * min(max(0.0, t_s - 2.0), 8.0), [Tare(5.95)], 14.0)
    assert state.brew_start_s == pytest.approx(2.0, abs=0.2)
    assert state.phase is Phase.WAITING
    assert state.water_g == pytest.approx(40.0, abs=0.5)


def test_a_tare_while_the_last_grounds_fall_makes_ready_for_the_first_water() -> None:
    def weight_g(t_s: float) -> float:
        return 6.0 * min(max(0.0, t_s - 2.0), 3.0) + 5.0 * max(0.0, t_s - 12.0)

    assert keyed(weight_g, [Tare(4.75)], 11.0).phase is Phase.READY
    state = keyed(weight_g, [Tare(4.75)], 18.0)
    assert state.brew_start_s == pytest.approx(12.0, abs=0.2)
    assert state.water_g == pytest.approx(5.0 * 6.0, abs=0.6)


def test_a_drop_that_water_follows_is_no_end(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).rest(3.0).jump(-25.0).until(72).pour_to(215).rest(9.0)
    assert brew.frames[-1].pour.ending is None
    assert brew.frames[-1].pour.phase is Phase.DRAINING


def test_a_pour_after_a_light_bloom_is_not_behind_for_the_water_it_makes_up(
    plan: Plan, new_brew: NewBrew
) -> None:
    slow = tuple(replace(stage, flow_gps=2.0) for stage in plan.stages)
    brew = new_brew(replace(plan, stages=slow)).pour_to(18.0, 2.0).until(32)
    brew.pour_to(brew.frames[-1].pour.next.to_g, 2.0).rest(3.0)
    state = brew.frames[-1].pour
    assert state.phase is Phase.WAITING
    assert state.plan.stages[2].start_s == 70.0


def test_a_drop_that_water_follows_does_not_end_the_brew_where_the_tape_ends(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).rest(3.0).jump(-25.0).until(72).pour_to(215).rest(2.0)
    brew.close()
    assert brew.frames[-1].pour.ending is Ending.TAPE
    assert [stage.stage for stage in brew.frames[-1].pour.stages] == ["bloom", "pour 1", "pour 2"]


def test_water_at_its_stage_s_time_is_no_top_up_of_the_one_before(
    plan: Plan, new_brew: NewBrew
) -> None:
    stages = (*plan.stages[:2], replace(plan.stages[2], start_s=58.5))
    brew = new_brew(replace(plan, stages=stages)).pour_to(40).until(32).pour_to(140, 3.7)
    brew.rest(1.5).pour(5.0, 0.8)
    assert [stage.stage for stage in brew.frames[-1].pour.stages] == ["bloom", "pour 1", "pour 2"]
    assert brew.frames[-1].cue.word is Word.POUR


def test_a_tare_taken_back_while_the_first_water_runs_leaves_no_doubt() -> None:
    def weight_g(t_s: float) -> float:
        return 5.0 * min(max(0.0, t_s - 2.0), 4.4)

    state = keyed(weight_g, [Tare(5.95), Undo(6.15)], 10.0)
    assert state.phase is Phase.POURING
    assert state.water_g == pytest.approx(22.0, abs=0.3)


def test_a_first_pour_reported_late_does_not_keep_the_later_ones_out(brew: Brew) -> None:
    """A trickle has taken the weight off zero before it is seen as water."""
    begun_s = brew.t_s
    brew.pour(1.0, 2.0)
    assert not all(frame.pour.armed for frame in brew.frames)
    brew.pour_to(40)
    assert brew.frames[-1].pour.brew_start_s == pytest.approx(begun_s, abs=0.3)
    brew.until(32).pour_to(140).until(40)
    assert [stage.stage for stage in brew.frames[-1].pour.stages] == ["bloom", "pour 1"]
