"""A touch that the plan asks for is none to be noted."""

from dataclasses import replace

import pytest

from pourcoach.coaching.course.stages import Poured
from pourcoach.coaching.flags.asked import without_asked
from pourcoach.domain.advice import Flag, FlagKind
from pourcoach.domain.plan import Plan, Then
from pourcoach.domain.pour import Pour, StagePour

POURED = Poured(0, 0, StagePour("bloom", (Pour(5.0, 0.0, 40.0, 40.0),), 0))


@pytest.mark.parametrize(
    ("at_s", "asked"), [(38.2, False), (38.8, True), (54.0, True), (56.0, False)]
)
def test_a_swirl_comes_a_little_before_the_end_of_its_stage_or_soon_after(
    plan: Plan, at_s: float, asked: bool
) -> None:
    swirled = replace(plan.stages[0], then=Then.SWIRL)
    plan = replace(plan, stages=(swirled, *plan.stages[1:]))
    flag = Flag(FlagKind.DISTURBED, at_s, at_s + 1.0, "bloom", 0.95, {})
    assert without_asked([flag], (POURED,), plan) == ([] if asked else [flag])
