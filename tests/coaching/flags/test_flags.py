"""What is noted of silence, touch and drain; whose limits hold, and in which order flags are."""

from dataclasses import replace

import pytest

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.inputs import Finish, Link, Tare, Undo
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending
from tests.coaching.conftest import seconds
from tests.coaching.planned_brew import Brew, NewBrew, finish


def test_silence_is_a_gap_and_the_brew_goes_on(brew: Brew) -> None:
    brew.pour_to(40).rest(3).key(Link(brew.t_s, up=False)).silence(2.0).key(Link(brew.t_s, up=True))
    brew.until(32).pour_to(140).until(72).pour_to(240).rest(5).close()
    assert brew.kinds == [FlagKind.GAP]
    assert brew.frames[-1].flags[0].evidence["lasted_s"] == seconds(2.1)


def test_a_silence_of_less_than_a_second_is_none(brew: Brew) -> None:
    finish(brew.pour_to(40).rest(3).silence(0.8)).close()
    assert brew.kinds == []


def test_a_lift_in_mid_brew_is_a_disturbance_not_a_fault(brew: Brew) -> None:
    brew.pour_to(40).until(20).jump(-300.0).rest(1.0).jump(300.0)
    finish(brew).close()
    assert brew.kinds == [FlagKind.LIFTED]


def test_the_lift_at_the_end_is_never_reported_as_a_disturbance(brew: Brew) -> None:
    finish(brew.pour_to(40)).until(150).jump(-300.0).rest(8.0)
    assert brew.frames[-1].pour.ending is Ending.LIFTED
    assert [frame.flags for frame in brew.frames if frame.flags] == []


def test_what_was_taken_for_the_first_water_and_tared_away_disturbs_no_brew(brew: Brew) -> None:
    brew.pour_to(20).rest(0.5).touch(0.6).rest(2.0)
    assert FlagKind.DISTURBED in brew.kinds
    brew.key(Tare(brew.t_s)).rest(2.0).pour_to(40).rest(3.0)
    assert brew.kinds == []


def test_a_touch_in_the_wait_is_noted_with_how_long_it_lasted(brew: Brew) -> None:
    brew.pour_to(40).until(20).touch(3.0).rest(3.0)
    (flag,) = brew.frames[-1].flags
    assert flag.kind is FlagKind.DISTURBED
    assert flag.start_s == pytest.approx(20.0, abs=0.5)
    assert flag.end_s == pytest.approx(23.0, abs=1.0)
    assert flag.evidence["lasted_s"] == pytest.approx(flag.end_s - flag.start_s)


def test_a_touch_after_an_end_taken_back_is_noted_afresh(brew: Brew) -> None:
    finish(brew.pour_to(40)).until(100).jump(-3.0).key(Finish(brew.t_s)).key(Undo(brew.t_s))
    brew.rest(3.0).jump(3.0).rest(3.0)
    assert [flag.kind for flag in brew.frames[-1].flags] == [FlagKind.DISTURBED]


@pytest.mark.parametrize(("brew_s", "expected"), [(186.0, []), (190.0, [FlagKind.SLOW_DRAIN])])
def test_a_slow_drain_reported_by_the_key(
    brew: Brew, brew_s: float, expected: list[FlagKind]
) -> None:
    finish(brew.pour_to(40)).until(2 + brew_s).key(Finish(brew.t_s))
    assert brew.kinds == expected


def test_a_rest_shows_nothing_of_the_drain(brew: Brew) -> None:
    finish(brew.pour_to(40)).until(2 + 260)
    assert brew.frames[-1].pour.ending is Ending.RESTED
    assert brew.kinds == []


def test_limits_are_the_plans(plan: Plan, new_brew: NewBrew) -> None:
    loose = replace(plan, limits=FlagLimits(landing_g=20.0))
    brew = new_brew(loose).pour_to(40).until(32).pour_to(155).until(72).pour_to(240).rest(5)
    brew.close()
    assert brew.kinds == []


def test_flags_are_in_order_of_time(brew: Brew) -> None:
    brew.pour_to(52).until(32).pour_to(90).rest(2).pour_to(140).until(82).pour_to(240).rest(5)
    brew.close()
    starts = [flag.start_s for flag in brew.frames[-1].flags]
    assert starts == sorted(starts)
    assert brew.kinds == [FlagKind.BLOOM_HEAVY, FlagKind.STALL, FlagKind.LATE]
