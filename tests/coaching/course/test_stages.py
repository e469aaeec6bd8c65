"""A pause in the last stage, which no other follows, ends it only once it has been long."""

import pytest

from pourcoach.coaching.course.stages import Grouping
from pourcoach.domain.plan import EXTRA_POUR, Plan
from pourcoach.domain.pour import Pour

# Written out: what is imported would hold whatever it is.
GIVE_UP_S = 15.0


@pytest.mark.parametrize(
    ("pause_s", "stages"),
    [
        (GIVE_UP_S - 0.1, ["bloom", "pour 1", "pour 2"]),
        (GIVE_UP_S, ["bloom", "pour 1", "pour 2", EXTRA_POUR]),
    ],
)
def test_the_last_stage_goes_on_after_a_pause(
    plan: Plan, pause_s: float, stages: list[str]
) -> None:
    landed_g = [38.0, 135.0, 235.0]
    ended_s = 90.0
    pours = [
        Pour(0.0, 0.0, end_s=8.0, end_g=40.0),
        Pour(30.0, 40.0, end_s=50.0, end_g=140.0),
        Pour(70.0, 140.0, end_s=ended_s, end_g=239.0),
        Pour(ended_s + pause_s, 239.0, end_s=ended_s + pause_s + 4.0, end_g=250.0),
    ]
    poured = Grouping(plan, landed_g, [0, 1, 2]).sort(pours, 250.0)
    assert [one.stage.stage for one in poured] == stages


@pytest.mark.parametrize(
    ("end_s", "end_g", "stage"),
    [
        (19.0, 89.0, "bloom"),
        (19.0, 95.0, "bloom"),  # More than half way to the mark of pour 1, long before its time.
        (19.0, 134.0, "bloom"),
        (19.0, 136.0, "pour 1"),
        (None, 95.0, "pour 1"),  # It may run on to that mark.
        (31.0, 95.0, "pour 1"),  # By then that stage was due.
    ],
)
def test_water_that_stopped_short_of_a_later_mark_before_its_time_is_too_much_for_its_own(
    plan: Plan, end_s: float | None, end_g: float, stage: str
) -> None:
    pour = Pour(0.0, 0.0, end_s=end_s, end_g=None if end_s is None else end_g)
    (poured,) = Grouping(plan, [38.0, 135.0, 235.0], [0, 1, 2]).sort([pour], end_g)
    assert poured.stage.stage == stage


def test_the_stage_after_too_much_water_is_the_next_one(plan: Plan) -> None:
    pours = [
        Pour(0.0, 0.0, end_s=19.0, end_g=95.0),
        Pour(31.0, 95.0, end_s=40.0, end_g=140.0),
        Pour(61.0, 140.0, end_s=80.0, end_g=240.0),
    ]
    poured = Grouping(plan, [38.0, 135.0, 235.0], [0, 1, 2]).sort(pours, 240.0)
    assert [one.stage.stage for one in poured] == ["bloom", "pour 1", "pour 2"]
