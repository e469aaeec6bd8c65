from dataclasses import replace

import pytest

from pourcoach.brewing.plan.bounds import refuse_impossible
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage

USUAL = work_out(PlanRequest()).plan
NAN = float("nan")


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        (replace(USUAL, dose_g=2.0), "2 g of coffee"),
        (replace(USUAL, water_g=20.0), "20 g of water"),
        (replace(USUAL, temperature_c=140.0), "140 °C"),
        (replace(USUAL, water_g=300.0), "the last stage ends at 320 g"),
        (replace(USUAL, ratio=15.0), "is not 320 g of water"),
        (replace(USUAL, finish_s=100.0), "pours until 118 s"),
        (replace(USUAL, bloom_s=-1.0), "bloom_s be 0 or more"),
        (replace(USUAL, stages=(Stage("all", NAN, 320.0, 5.0),)), "no finite time"),
        (replace(USUAL, stages=(Stage("all", 0.0, 320.0, 90.0),)), "90 g/s of flow"),
    ],
)
def test_a_plan_that_cannot_be_is_refused(plan: Plan, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        refuse_impossible(plan)


def test_a_plan_without_a_bloom_is_no_fault() -> None:
    refuse_impossible(replace(USUAL, bloom_s=0.0, stages=(Stage("pour 1", 0.0, 320.0, 5.0),)))
