"""Whole recordings, weighed by a scale of the test's own: what no one part of the fold shows."""

from collections.abc import Callable
from math import cos, exp, pi, sin
from random import Random

from pourcoach.domain.advice import FlagKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Ending
from pourcoach.pipeline import Pipeline

Weight = Callable[[float], float]
GRID_S = 0.01


def water(*pours: tuple[float, float, float]) -> Weight:
    """Steady pours of (start s, grams, g/s), one after the other."""

    def at(t_s: float) -> float:
        return sum(min(max(t_s - start_s, 0.0) * gps, grams) for start_s, grams, gps in pours)

    return at


def ramp(t_s: float, from_s: float, lasts_s: float) -> float:
    """0 before, 1 after, straight between."""
    return min(max((t_s - from_s) / lasts_s, 0.0), 1.0)


def judged(
    weight: Weight,
    until_s: float,
    plan: Plan | None = None,
    *,
    rate_hz: float = 20.0,
    lag_s: float = 0.0,
    noise_g: float = 0.02,
) -> Frame:
    """The last Frame of a tape of this weight; ``lag_s``: how slowly the scale follows."""
    chance = Random(5)
    pipeline = Pipeline(plan)
    shown_g, due_s = weight(0.0), 0.0
    for tick in range(round(until_s / GRID_S)):
        t_s = tick * GRID_S
        share = 1.0 if lag_s == 0.0 else 1.0 - exp(-GRID_S / lag_s)
        shown_g += share * (weight(t_s) - shown_g)
        if t_s < due_s - 1e-9:
            continue
        due_s += 1.0 / rate_hz
        pipeline.feed(Reading(t_s, round(shown_g + chance.gauss(0.0, noise_g), 1)))
    return pipeline.finish(until_s)


def kinds(frame: Frame) -> list[FlagKind]:
    return [flag.kind for flag in frame.flags]


TO_PLAN = ((4.0, 40.0, 5.0), (34.0, 100.0, 5.0), (74.0, 100.0, 5.0))


def test_a_slow_scale_that_is_lifted_off_ends_the_brew_when_it_was_lifted(plan: Plan) -> None:
    poured = water(*TO_PLAN)
    last = judged(
        lambda t: poured(t) - 640.0 * ramp(t, 130.0, 0.3), 139.0, plan, rate_hz=5.0, lag_s=0.4
    )
    assert last.pour.ending is Ending.LIFTED
    assert abs((last.pour.end_s or 0.0) - 130.0) < 0.5
    assert kinds(last) == []


def test_a_lean_at_the_end_of_a_pour_is_no_water(plan: Plan) -> None:
    poured = water(*TO_PLAN)

    def weight(t_s: float) -> float:
        return poured(t_s) + 60.0 * (ramp(t_s, 12.1, 0.4) - ramp(t_s, 14.5, 0.1))

    last = judged(weight, 120.0, plan)
    masses_g = [round(stage.mass_g or 0.0) for stage in last.pour.stages]
    assert (masses_g, round(last.pour.water_g), kinds(last)) == (
        [40, 100, 100],
        240,
        [FlagKind.DISTURBED],
    )


def test_a_brewer_swirled_on_the_scale_changes_nothing(plan: Plan) -> None:
    poured = water(*TO_PLAN)

    def weight(t_s: float) -> float:
        swirls = ramp(t_s, 18.0, 0.2) - ramp(t_s, 22.0, 0.2)
        return poured(t_s) + 45.0 * swirls * sin(2.0 * pi * 2.2 * t_s)

    last = judged(weight, 120.0, plan, rate_hz=40.0, noise_g=0.1)
    ends_g = [round(stage.end_g or 0.0) for stage in last.pour.stages]
    assert (ends_g, kinds(last)) == ([40, 140, 240], [FlagKind.DISTURBED])


def test_a_lean_in_mid_pour_hides_no_stall_after_it(plan: Plan) -> None:
    poured = water((4.0, 40.0, 5.0), (34.0, 100.0, 5.0), (74.0, 70.0, 5.0), (90.5, 30.0, 5.0))

    def weight(t_s: float) -> float:
        return poured(t_s) + 26.0 * (ramp(t_s, 77.0, 0.6) - ramp(t_s, 78.0, 0.6))

    last = judged(weight, 120.0, plan, rate_hz=50.0)
    disturbed, stall = last.flags
    assert (disturbed.kind, stall.kind) == (FlagKind.DISTURBED, FlagKind.STALL)
    assert disturbed.end_s < 82.0


def test_a_touch_in_the_middle_hides_no_stall(plan: Plan) -> None:
    poured = water((4.0, 40.0, 5.0), (34.0, 100.0, 5.0), (74.0, 50.0, 5.0), (86.2, 50.0, 5.0))

    def weight(t_s: float) -> float:
        since_s = t_s - 85.0
        return poured(t_s) + (
            80.0 * exp(-since_s / 0.05) * cos(40.0 * since_s) if since_s > 0.0 else 0.0
        )

    last = judged(weight, 120.0, plan, rate_hz=40.0)
    assert sorted(kinds(last), key=str) == [FlagKind.DISTURBED, FlagKind.STALL]


def test_a_hand_that_rests_on_the_platform_and_lets_go_lifts_nothing(plan: Plan) -> None:
    poured = water(*TO_PLAN)

    def weight(t_s: float) -> float:
        return poured(t_s) + 35.0 * (ramp(t_s, 16.0, 0.1) - ramp(t_s, 19.0, 0.1))

    last = judged(weight, 120.0, plan)
    assert (last.pour.ending, round(last.pour.water_g)) == (Ending.TAPE, 240)


def test_a_scale_that_follows_slowly_makes_no_pour_uneven(plan: Plan) -> None:
    last = judged(water(*TO_PLAN), 120.0, plan, rate_hz=20.0, lag_s=0.5, noise_g=0.01)
    assert all((stage.flow_cv or 1.0) < 0.13 for stage in last.pour.stages)
    assert kinds(last) == []


def test_a_pour_that_begins_with_a_surge_is_flagged_for_one(plan: Plan) -> None:
    surge = (74.0, 16.8, 12.0), (75.4, 83.2, 5.0)
    last = judged(water(*TO_PLAN[:2], *surge), 120.0, plan, rate_hz=10.0)
    assert [(flag.kind, flag.stage) for flag in last.flags] == [(FlagKind.SURGE, "pour 2")]


def test_a_touch_at_a_pours_beginning_loses_no_water(plan: Plan) -> None:
    poured = water(*TO_PLAN)

    def weight(t_s: float) -> float:
        return poured(t_s) + 60.0 * (ramp(t_s, 73.7, 0.3) - ramp(t_s, 75.5, 0.3))

    last = judged(weight, 120.0, plan, rate_hz=50.0)
    begun = last.pour.stages[-1]
    assert kinds(last) == [FlagKind.DISTURBED]
    assert (round(begun.mass_g or 0.0), round(begun.end_g or 0.0)) == (100, 240)
    assert abs(begun.start_s - 74.0) < 0.5
