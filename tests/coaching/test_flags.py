"""Which faults are noted, and that one fault is one flag."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.inputs import Finish, Link, Undo
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending

Brew = Any
NewBrew = Callable[..., Brew]


def finish(brew: Brew) -> Brew:
    """The rest of a brew to plan, from the first pour on."""
    return brew.until(32).pour_to(140).until(72).pour_to(240).rest(5)


@pytest.mark.parametrize(
    ("bloom_g", "expected"),
    [
        (40.0, []),
        (47.0, []),
        (49.0, [FlagKind.BLOOM_HEAVY]),
        (33.0, []),
        (31.0, [FlagKind.BLOOM_LIGHT]),
    ],
)
def test_bloom_water(brew: Brew, bloom_g: float, expected: list[FlagKind]) -> None:
    finish(brew.pour_to(bloom_g)).close()
    assert brew.kinds == expected


@pytest.mark.parametrize(
    ("next_s", "expected"),
    [
        (30.0, []),
        (25.5, []),
        (24.0, [FlagKind.BLOOM_SHORT]),
        (44.0, []),
        (46.0, [FlagKind.BLOOM_LONG]),
    ],
)
def test_bloom_time(brew: Brew, next_s: float, expected: list[FlagKind]) -> None:
    brew.pour_to(40).until(2 + next_s).pour_to(140).until(42 + next_s).pour_to(240).rest(5).close()
    assert brew.kinds == expected


def test_under_fifteen_seconds_is_a_short_bloom_whatever_the_plan(new_brew: NewBrew) -> None:
    plan = shorter_bloom()
    brew = new_brew(plan).pour_to(40).until(2 + 14.0).pour_to(140).rest(5)
    brew.close()
    assert FlagKind.BLOOM_SHORT in brew.kinds


def shorter_bloom() -> Plan:
    stages = ({"name": "bloom", "start_s": 0.0, "to_g": 40.0, "flow_gps": 5.0},)
    pour = {"name": "pour 1", "start_s": 18.0, "to_g": 140.0, "flow_gps": 5.0}
    return Plan.from_dict(
        {
            "dose_g": 20.0,
            "ratio": 7.0,
            "water_g": 140.0,
            "bloom_s": 18.0,
            "finish_s": 100.0,
            "stages": [*stages, pour],
        }
    )


@pytest.mark.parametrize(
    ("to_g", "expected"),
    [
        (140.0, []),
        (146.0, []),
        (148.0, [FlagKind.OVERSHOOT]),
        (134.0, []),
        (132.0, [FlagKind.SHORT]),
    ],
)
def test_where_a_stage_ends(brew: Brew, to_g: float, expected: list[FlagKind]) -> None:
    brew.pour_to(40).until(32).pour_to(to_g).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == expected


def test_too_much_is_told_while_it_is_poured(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(150)
    assert brew.kinds == [FlagKind.OVERSHOOT]
    assert not brew.frames[-1].flags[0].refined


@pytest.mark.parametrize(
    ("second_s", "expected"),
    [(70.0, []), (63.0, []), (60.0, [FlagKind.EARLY]), (77.0, []), (80.0, [FlagKind.LATE])],
)
def test_when_a_later_stage_begins(brew: Brew, second_s: float, expected: list[FlagKind]) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(2 + second_s).pour_to(240).rest(5).close()
    assert brew.kinds == expected


def test_a_late_bloom_makes_no_late_pour(brew: Brew) -> None:
    """The rest of the plan moves along; who keeps to the first plan is on time as well."""
    brew.pour_to(40).until(50).pour_to(140).until(90).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.BLOOM_LONG]


def test_an_overshoot_makes_no_short_pour(brew: Brew) -> None:
    brew.pour_to(60).until(32).pour_to(140).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.BLOOM_HEAVY]


def test_a_stop_and_go_is_one_stage_with_a_stall(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90).rest(2.0).pour_to(140).until(72).pour_to(240).rest(5)
    brew.close()
    assert brew.kinds == [FlagKind.STALL]
    stage = brew.frames[-1].pour.stages[1]
    assert (stage.stage, len(stage.pours)) == ("pour 1", 2)
    assert brew.frames[-1].flags[0].evidence["lasted_s"] == pytest.approx(2.0, abs=0.2)


def test_a_stall_is_told_within_a_second_and_a_half(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90)
    begun_s = brew.t_s
    brew.rest(1.5)
    told = next(frame for frame in brew.frames if frame.flags)
    assert told.flags[0].kind is FlagKind.STALL
    assert told.t_s - begun_s <= 1.5


def test_a_trickle_is_a_stall_too(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90).pour(1.0, 1.6).pour_to(140).until(72).pour_to(240)
    brew.rest(5).close()
    assert brew.kinds == [FlagKind.STALL]


def test_half_a_second_without_water_is_no_stall(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90).rest(0.5).pour_to(140).until(72).pour_to(240)
    brew.rest(5).close()
    assert brew.kinds == []


def test_a_stage_left_short_is_no_stall_in_the_end(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.SHORT]


def test_a_surge(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(80).pour(10.0, 1.2).pour_to(140).until(72).pour_to(240)
    live = [flag.kind for frame in brew.frames for flag in frame.flags]
    assert FlagKind.SURGE in live
    brew.rest(5).close()
    assert brew.kinds == [FlagKind.SURGE]


@pytest.mark.parametrize(("dip_gps", "told"), [(8.3, True), (7.5, False)])
def test_a_surge_that_hangs_about_its_limit_goes_on(brew: Brew, dip_gps: float, told: bool) -> None:
    """The limit is 1.7 times 5 g/s."""
    brew.pour_to(40).until(32).pour_to(80).pour(9.0, 0.4).pour(dip_gps, 0.2).pour(9.0, 0.3)
    assert (FlagKind.SURGE in brew.kinds) is told


def test_one_odd_value_does_not_put_off_a_stall(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90).pour(0.5, 0.5).pour(2.0, 0.1).pour(0.5, 0.5)
    begun_s = brew.t_s - 1.1
    assert FlagKind.STALL not in brew.kinds
    brew.pour(0.5, 0.2)
    assert FlagKind.STALL in brew.kinds
    assert brew.t_s - begun_s == pytest.approx(1.3)


def wandering(brew: Brew, off_gps: float) -> Brew:
    """The bloom, its flow off by so much to and fro."""
    for _ in range(5):
        brew.pour(5.0, 0.4).pour(5.0 + off_gps, 0.4).pour(5.0, 0.4).pour(5.0 - off_gps, 0.4)
    return brew.rest(3)


def test_an_uneven_pour(brew: Brew) -> None:
    brew.flow_cv = 0.3
    wandering(brew, 2.2)
    assert brew.kinds == [FlagKind.UNEVEN]
    flag = brew.frames[-1].flags[0]
    assert flag.refined
    assert flag.evidence["flow_cv"] == 0.3
    assert flag.confidence == pytest.approx(0.99)


@pytest.mark.parametrize(("flow_cv", "off_gps"), [(0.3, 0.5), (0.207, 2.2)])
def test_a_pour_that_may_as_well_be_even_is_not_flagged(
    brew: Brew, flow_cv: float, off_gps: float
) -> None:
    brew.flow_cv = flow_cv
    assert wandering(brew, off_gps).kinds == []


def test_the_surer_the_further_beyond_its_limit(new_brew: NewBrew, plan: Plan) -> None:
    sure = []
    for flow_cv in (0.215, 0.225, 0.235):
        brew = new_brew(plan)
        brew.flow_cv = flow_cv
        sure += [flag.confidence for flag in wandering(brew, 2.2).frames[-1].flags]
    assert len(sure) == 3
    assert sure == sorted(sure)
    assert sure[0] < 0.65


def test_stages_poured_as_one_are_one_early_stage(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.EARLY]
    state = brew.frames[-1].pour
    assert [stage.stage for stage in state.stages] == ["bloom", "pour 2"]


def test_a_skipped_stage_is_one_late_stage(brew: Brew) -> None:
    brew.pour_to(40).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.BLOOM_LONG]


def test_a_bloom_poured_straight_on_is_one_short_bloom(brew: Brew) -> None:
    brew.pour_to(140).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.BLOOM_SHORT]


def test_water_after_the_last_mark_is_an_extra_pour(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).rest(25).pour_to(270).rest(5)
    brew.close()
    state = brew.frames[-1].pour
    assert [stage.stage for stage in state.stages][-1] == "extra pour"
    assert brew.kinds == [FlagKind.OVERSHOOT]
    assert brew.frames[-1].flags[0].evidence["off_g"] == pytest.approx(30.0)


def test_a_drip_while_waiting_is_no_pour(brew: Brew) -> None:
    brew.pour_to(40).rest(5).pour(3.0, 0.5).until(32).pour_to(140).until(72).pour_to(240).rest(5)
    brew.close()
    assert brew.kinds == []
    assert len(brew.frames[-1].pour.stages) == 3


def test_a_top_up_belongs_to_its_stage(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(135).rest(1.5).pour_to(140).until(72).pour_to(240).rest(5)
    brew.close()
    assert FlagKind.EARLY not in brew.kinds
    assert [stage.stage for stage in brew.frames[-1].pour.stages] == ["bloom", "pour 1", "pour 2"]


def test_silence_is_a_gap_and_the_brew_goes_on(brew: Brew) -> None:
    brew.pour_to(40).rest(3).key(Link(brew.t_s, up=False)).silence(2.0).key(Link(brew.t_s, up=True))
    brew.until(32).pour_to(140).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.GAP]
    assert brew.frames[-1].flags[0].evidence["lasted_s"] == pytest.approx(2.1)


def test_a_silence_of_less_than_a_second_is_none(brew: Brew) -> None:
    finish(brew.pour_to(40).rest(3).silence(0.8)).close()
    assert brew.kinds == []


def test_a_lift_in_mid_brew_is_a_disturbance_not_a_fault(brew: Brew) -> None:
    brew.pour_to(40).until(20).jump(-300.0).rest(1.0).jump(300.0)
    brew.mass_g = 40.0
    finish(brew).close()
    assert brew.kinds == [FlagKind.DISTURBED]


def test_the_lift_at_the_end_is_never_told_as_a_disturbance(brew: Brew) -> None:
    finish(brew.pour_to(40)).until(150).jump(-300.0).rest(8.0)
    assert brew.frames[-1].pour.ending is Ending.LIFTED
    assert [frame.flags for frame in brew.frames if frame.flags] == []


def test_a_touch_after_an_end_taken_back_is_noted_afresh(brew: Brew) -> None:
    finish(brew.pour_to(40)).until(100).jump(-3.0).key(Finish(brew.t_s)).key(Undo(brew.t_s))
    brew.rest(3.0).jump(3.0).rest(3.0)
    assert [flag.kind for flag in brew.frames[-1].flags] == [FlagKind.DISTURBED]


@pytest.mark.parametrize(("brew_s", "expected"), [(186.0, []), (190.0, [FlagKind.SLOW_DRAIN])])
def test_a_slow_drain_told_by_the_key(brew: Brew, brew_s: float, expected: list[FlagKind]) -> None:
    finish(brew.pour_to(40)).until(2 + brew_s).key(Finish(brew.t_s))
    assert brew.kinds == expected


def test_a_rest_tells_nothing_of_the_drain(brew: Brew) -> None:
    finish(brew.pour_to(40)).until(2 + 260)
    assert brew.frames[-1].pour.ending is Ending.RESTED
    assert brew.kinds == []


def test_limits_are_the_plans(plan: Plan, new_brew: NewBrew) -> None:
    loose = replace(plan, limits=FlagLimits(landing_g=20.0))
    brew = new_brew(loose).pour_to(40).until(32).pour_to(155).until(72).pour_to(240).rest(5)
    brew.close()
    assert brew.kinds == []


def test_without_a_plan_flow_is_judged_by_its_own_median(new_brew: NewBrew) -> None:
    brew = new_brew(None).pour_to(40).rest(20).pour_to(90).rest(2).pour_to(140).rest(20)
    brew.pour_to(190).pour(10.0, 1.2).pour_to(260).rest(5).close()
    assert brew.kinds == [FlagKind.STALL, FlagKind.SURGE]


def test_flags_are_in_order_of_time(brew: Brew) -> None:
    brew.pour_to(52).until(32).pour_to(90).rest(2).pour_to(140).until(82).pour_to(240).rest(5)
    brew.close()
    starts = [flag.start_s for flag in brew.frames[-1].flags]
    assert starts == sorted(starts)
    assert brew.kinds == [FlagKind.BLOOM_HEAVY, FlagKind.STALL, FlagKind.LATE]
