import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.plan_file import plan_from_toml, plan_to_toml
from pourcoach.brewing.plan_request import PlanRequest
from pourcoach.brewing.pour_plan import work_out
from pourcoach.domain.errors import UsageError
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.printable import printable

SHORT = """
dose_g = 18
ratio = 15.5
pours = 3
roast = "light"
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
)
def test_a_plan_comes_back_equal(
    dose_g: float, ratio: float, names: list[str], temperature_c: float | None, uneven_cv: float
) -> None:
    water_g = dose_g * ratio
    plan = Plan(
        dose_g=dose_g,
        ratio=ratio,
        water_g=water_g,
        bloom_s=35.0,
        finish_s=1000.0,
        stages=tuple(
            Stage(name, 200.0 * index, water_g * (index + 1) / len(names), 5.0)
            for index, name in enumerate(names)
        ),
        temperature_c=temperature_c,
        brewer="small-cone",
        limits=FlagLimits(uneven_cv=uneven_cv),
    )
    assert plan_from_toml(plan_to_toml(plan)).plan == plan


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("dose_g = ", "is not TOML"),
        ("dose_g = 20\nwater_g = 'much'", "water_g is 'much'"),
        ("colour = 3", "unknown plan key 'colour'"),
        ("stages = [{}]\n", "start_s is None"),
        ("stages = 3", "no list of stages"),
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
