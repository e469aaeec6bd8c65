import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.plan.plan_file import plan_from_toml, plan_to_toml
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.errors import UsageError
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan, Stage, Then
from pourcoach.domain.printable import printable

SAVED = plan_to_toml(work_out(PlanRequest()).plan)
SHORT = """
dose_g = 18
ratio = 15.5
pours = 3
roast = "light"
"""
TOTALS = """
dose_g = 20
ratio = 16
water_g = 320
bloom_s = 35
finish_s = 190
"""


def test_a_short_file_is_worked_out() -> None:
    assert plan_from_toml(SHORT) == work_out(
        PlanRequest.from_dict({"dose_g": 18, "ratio": 15.5, "pours": 3, "roast": "light"})
    )


@given(
    dose_g=st.floats(10.0, 60.0),
    ratio=st.floats(10.0, 20.0),
    names=st.lists(st.text(min_size=1).map(printable), min_size=1, max_size=4),
    temperature_c=st.none() | st.floats(60.0, 100.0),
    uneven_cv=st.floats(0.05, 0.5),
    then=st.none() | st.sampled_from(Then),
    ice_g=st.floats(0.0, 200.0),
    bypass_g=st.floats(0.0, 200.0),
)
def test_a_plan_comes_back_equal(
    dose_g: float,
    ratio: float,
    names: list[str],
    temperature_c: float | None,
    uneven_cv: float,
    then: Then | None,
    ice_g: float,
    bypass_g: float,
) -> None:
    water_g = dose_g * ratio
    plan = Plan(
        dose_g=dose_g,
        ratio=ratio,
        water_g=water_g,
        bloom_s=35.0,
        finish_s=1000.0,
        stages=tuple(
            Stage(name, 200.0 * index, water_g * (index + 1) / len(names), 5.0, then)
            for index, name in enumerate(names)
        ),
        temperature_c=temperature_c,
        brewer="one of my own",
        ice_g=ice_g,
        bypass_g=bypass_g,
        limits=FlagLimits(uneven_cv=uneven_cv),
    )
    assert plan_from_toml(plan_to_toml(plan)).plan == plan


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("dose_g = ", "is not TOML"),
        ("dose_g = 20\nwater_g = 'much'", "water_g is 'much'"),
        ("colour = 3", "line 1: colour is not known here"),
        ("stages = [{}]\n", "dose_g is missing"),
        ("stages = 3\n" + TOTALS, "line 1: stages is 3; write 1 to"),
        (
            SAVED.replace("to_g = 40.0", "to_g = 40.0, colour = 3"),
            r"stages\[1\]\.colour is not known here; known are flow_gps, ",
        ),
        ("colour = 3\n" + SAVED, "line 1: colour is not known here; known are bloom_s, "),
        (
            SAVED.replace("to_g = 40.0", 'to_g = 40.0, then = "juggle"'),
            r"stages\[1\]\.then is 'juggle'; use one of swirl, stir, tap, lift off",
        ),
        (
            SAVED.replace("to_g = 180.0, flow_gps = 5", "to_g = 310.0, flow_gps = 15"),
            "pour 1 would fill a cone dripper",
        ),
        ("bloom_then = 'juggle'", "bloom_then is 'juggle'"),
        (plan_to_toml(work_out(PlanRequest()).plan) + "limits = 3\n", "limits is 3"),
        (
            plan_to_toml(work_out(PlanRequest()).plan).replace("dose_g = 20.0", "dose_g = 0.0"),
            "dose_g is 0",
        ),
    ],
)
def test_a_broken_file_is_refused_in_a_sentence(text: str, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        plan_from_toml(text)
