"""Which faults are noted of how fast and how evenly is poured."""

from dataclasses import replace
from math import pi, sin, sqrt
from statistics import NormalDist

import pytest

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.flow import FlowWatch, verdict_flags
from pourcoach.coaching.flow.hindsight import Excursion, FlowVerdict
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.inputs import Tare
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, Pour, StagePour
from tests.coaching.planned_brew import Brew, NewBrew


def test_a_stop_and_go_is_one_stage_with_a_stall(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90).rest(2.0).pour_to(140).until(72).pour_to(240).rest(5)
    brew.close()
    assert brew.kinds == [FlagKind.STALL]
    stage = brew.frames[-1].pour.stages[1]
    assert (stage.stage, len(stage.pours)) == ("pour 1", 2)
    assert brew.frames[-1].flags[0].evidence["lasted_s"] == pytest.approx(2.0, abs=0.2)


def test_a_stall_is_reported_within_a_second_and_a_half(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90)
    begun_s = brew.t_s
    brew.rest(1.5)
    reported = next(frame for frame in brew.frames if frame.flags)
    assert reported.flags[0].kind is FlagKind.STALL
    assert reported.t_s - begun_s <= 1.5


@pytest.mark.parametrize("spike_g", [-20.0, 30.0])
@pytest.mark.parametrize("after_s", [0.1, 0.3, 0.5, 0.7, 0.9, 1.1])
def test_a_surge_is_reported_though_a_reading_in_it_is_a_spike(
    brew: Brew, spike_g: float, after_s: float
) -> None:
    brew.pour_to(40).until(32).pour_to(90).pour(12.0, after_s).spike(spike_g, 12.0)
    brew.pour(12.0, 1.2 - after_s).pour_to(140).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.SURGE]


@pytest.mark.parametrize("spike_g", [-20.0, 30.0])
@pytest.mark.parametrize("after_s", [0.1, 0.5, 0.9, 1.3, 1.7])
def test_a_stall_is_reported_though_a_reading_in_it_is_a_spike(
    brew: Brew, spike_g: float, after_s: float
) -> None:
    brew.pour_to(40).until(32).pour_to(90).rest(after_s).spike(spike_g)
    brew.rest(1.9 - after_s).pour_to(140).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.STALL]


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


@pytest.mark.parametrize(("before_s", "lasts_s", "flow_gps"), [(2.2, 1.8, 14.0), (2.4, 1.7, 15.0)])
def test_a_surge_of_half_a_short_pour_is_neither_unevenness_nor_the_pace(
    brew: Brew, before_s: float, lasts_s: float, flow_gps: float
) -> None:
    brew.pour_to(40).until(32).pour(1.6, 0.1).pour(3.3, 0.1).pour(5.5, before_s)
    brew.pour(flow_gps, lasts_s).pour(5.5, 0.9).rest(3).close()
    assert set(brew.kinds) == {FlagKind.SURGE, FlagKind.SHORT}


def test_a_surge(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(80).pour(10.0, 1.2).pour_to(140).until(72).pour_to(240)
    live = [flag for frame in brew.frames for flag in frame.flags]
    assert (live[0].kind, live[0].confidence) == (FlagKind.SURGE, 0.9)
    brew.rest(5).close()
    assert brew.kinds == [FlagKind.SURGE]


@pytest.mark.parametrize(("dip_gps", "reported"), [(8.3, True), (7.5, False)])
def test_a_surge_that_hangs_about_its_limit_goes_on(
    brew: Brew, dip_gps: float, reported: bool
) -> None:
    """The limit is 1.7 times 5 g/s."""
    brew.pour_to(40).until(32).pour_to(80).pour(9.0, 0.4).pour(dip_gps, 0.2).pour(9.0, 0.6)
    assert (FlagKind.SURGE in brew.kinds) is reported


def test_one_odd_value_does_not_put_off_a_stall(brew: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(90).pour(0.5, 0.5).pour(2.0, 0.1).pour(0.5, 0.5)
    begun_s = brew.t_s - 1.1
    assert FlagKind.STALL not in brew.kinds
    brew.pour(0.5, 0.2)
    assert FlagKind.STALL in brew.kinds
    assert brew.t_s - begun_s == pytest.approx(1.3)


def wandering(brew: Brew, off_gps: float) -> Flag | None:
    """The flag of a bloom whose flow goes to and fro by so much, every 3.2 seconds."""
    for step in range(80):
        brew.pour(5.0 + off_gps * sin(2 * pi * step * 0.1 / 3.2), 0.1)
    brew.rest(5.0)
    (pour,) = brew.frames[-1].estimate.pours
    assert pour.flow_cv == pytest.approx(off_gps / sqrt(2) / 5.0, abs=0.015)
    flags = [flag for flag in brew.frames[-1].flags if flag.kind is FlagKind.UNEVEN]
    assert len(flags) == len(brew.frames[-1].flags)
    return flags[0] if flags else None


def test_an_uneven_pour(brew: Brew) -> None:
    flag = wandering(brew, 2.2)
    assert flag is not None
    assert flag.refined
    assert flag.evidence["flow_cv"] == brew.frames[-1].estimate.pours[0].flow_cv
    assert flag.confidence == pytest.approx(0.99)


@pytest.mark.parametrize("off_gps", [0.5, 1.3, 1.42])
def test_a_pour_that_may_as_well_be_even_is_not_flagged(brew: Brew, off_gps: float) -> None:
    assert wandering(brew, off_gps) is None


def test_the_surer_the_further_beyond_its_limit(new_brew: NewBrew, plan: Plan) -> None:
    flags = [wandering(new_brew(plan), off_gps) for off_gps in (1.46, 1.48, 1.5)]
    sure = [flag.confidence for flag in flags if flag is not None]
    assert len(sure) == 3
    assert sure == sorted(set(sure))
    for flag in filter(None, flags):
        beyond = (flag.evidence["flow_cv"] - 0.2) / flag.evidence["flow_cv_error"]
        assert flag.confidence == pytest.approx(min(NormalDist().cdf(beyond), 0.99), abs=0.002)


def test_without_a_plan_flow_is_judged_by_its_own_median(new_brew: NewBrew) -> None:
    brew = new_brew(None).pour_to(40).rest(20).pour_to(90).rest(2).pour_to(140).rest(20)
    brew.pour_to(190).pour(10.0, 1.2).pour_to(260).rest(5).close()
    assert brew.kinds == [FlagKind.STALL, FlagKind.SURGE]


def test_what_a_stall_was_reported_of_goes_when_its_stage_becomes_another(brew: Brew) -> None:
    """Water stands still below the bloom's mark and then runs on to the next one in one stage."""
    brew.pour_to(20).rest(3.0).pour_to(140).rest(5.0).until(72).pour_to(240).rest(5).close()
    stalls = [flag for flag in brew.frames[-1].flags if flag.kind is FlagKind.STALL]
    assert [flag.stage for flag in stalls] == ["pour 1"]


def test_a_stall_of_what_turned_out_to_be_coffee_is_forgotten(brew: Brew) -> None:
    brew.pour(4.0, 2.0).rest(3.0).pour(4.0, 1.5).rest(3.0)
    assert FlagKind.STALL in brew.kinds
    brew.key(Tare(brew.t_s)).rest(2.0)
    assert brew.frames[-1].pour.phase is Phase.READY
    assert brew.kinds == []


@pytest.mark.parametrize(
    ("kind", "lasted_s", "level_gps", "limit_gps"),
    [(FlagKind.STALL, 1.08, 0.0, 1.25), (FlagKind.SURGE, 0.85, 12.0, 8.5)],
)
def test_how_long_an_excursion_lasted_is_known_to_a_part_of_a_second(
    kind: FlagKind, lasted_s: float, level_gps: float, limit_gps: float
) -> None:
    """One standard error beyond its limit, 0.08 s of a stall and 0.15 s of a surge."""
    one = Excursion(5.0, 6.0, lasted_s, level_gps, level_gps, limit_gps, 0.1)
    stalls, surges = ((one,), ()) if kind is FlagKind.STALL else ((), (one,))
    stage = StagePour("pour 1", (Pour(0.0, 0.0, 15.0, 75.0, refined=True),))
    verdict = FlowVerdict(5.0, stalls, surges, None, None)
    (flag,) = verdict_flags(Poured(1, 1, stage), verdict, FlagLimits())
    assert flag.kind is kind
    assert flag.confidence == pytest.approx(0.99 * NormalDist().cdf(1.0), abs=0.01)


STALL = Excursion(20.0, 21.3, 1.3, 0.6, 0.4, 1.25, 0.6)
SURGE = Excursion(20.0, 21.3, 1.3, 10.0, 10.5, 8.5, 0.3)


@pytest.mark.parametrize(("deviations", "kept"), [(2.8, False), (3.2, True)])
@pytest.mark.parametrize(("kind", "one"), [(FlagKind.STALL, STALL), (FlagKind.SURGE, SURGE)])
def test_what_stands_out_of_a_pour_that_wanders_is_a_fault_by_itself(
    kind: FlagKind, one: Excursion, deviations: float, kept: bool
) -> None:
    """Three standard deviations of the flow outside of it."""
    one = replace(one, deviations=deviations)
    stalls, surges = ((one,), ()) if kind is FlagKind.STALL else ((), (one,))
    stage = StagePour("pour 1", (Pour(10.0, 0.0, 40.0, 150.0, refined=True),))
    verdict = FlowVerdict(5.0, stalls, surges, 0.3, 0.02, None, 0.3)
    flags = verdict_flags(Poured(1, 1, stage), verdict, FlagLimits())
    assert [flag.kind for flag in flags] == [FlagKind.UNEVEN, *([kind] if kept else [])]


@pytest.mark.parametrize(("rests_s", "kept"), [(1.07, False), (1.3, True)])
def test_a_stall_without_a_doubt_stays_however_much_its_pour_wanders(
    rests_s: float, kept: bool
) -> None:
    stall = Excursion(20.0, 20.0 + rests_s, rests_s, 0.0, 0.0, 1.25, 0.1, deviations=2.0)
    stage = StagePour("pour 1", (Pour(10.0, 0.0, 40.0, 150.0, refined=True),))
    verdict = FlowVerdict(5.0, (stall,), (), 0.5, 0.02, None, 0.5)
    flags = verdict_flags(Poured(1, 1, stage), verdict, FlagLimits())
    assert (FlagKind.STALL in [flag.kind for flag in flags]) is kept


@pytest.mark.parametrize(("start_s", "kept"), [(12.0, True), (45.0, True), (30.0, False)])
def test_a_live_stall_of_a_press_goes_with_the_pour_that_it_was_taken_for(
    start_s: float, kept: bool
) -> None:
    """The press is no stage any more, so that none is judged in whose place it was."""
    watch = FlowWatch(FlagLimits())
    watch.flags[FlagKind.STALL, start_s] = Flag(
        FlagKind.STALL, start_s, start_s + 1.1, "extra pour", 0.85, {}
    )
    ended = StagePour("bloom", (Pour(10.0, 0.0, 20.0, 50.0, refined=True),))
    watch.keep([ended, StagePour("pour 1", (Pour(40.0, 50.0),))])
    assert bool(watch.flags) is kept
