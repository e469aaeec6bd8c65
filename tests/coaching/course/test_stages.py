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
