import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pourcoach.brewing.plan.bloom import LEAST_WAIT_S, MOST_WAIT_S, Roast
from pourcoach.brewing.plan.bounds import refuse_impossible
from pourcoach.brewing.plan.brewer import BREWERS
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage, Then

REQUESTS = st.builds(
    PlanRequest,
    dose_g=st.floats(3.0, 150.0),
    ratio=st.floats(4.0, 40.0),
    bloom_multiple=st.floats(0.5, 6.0),
    bloom_wait_s=st.none() | st.floats(0.0, 300.0),
    pours=st.none() | st.integers(1, 12),
    flow_gps=st.none() | st.floats(0.5, 25.0),
    brewer=st.sampled_from(sorted(BREWERS)),
    roast=st.sampled_from([None, *Roast]),
    days_off_roast=st.none() | st.floats(0.0, 400.0),
)


def plan_or_refusal(request: PlanRequest) -> Plan | None:
    try:
        return work_out(request).plan
    except UsageError:
        return None


def test_the_usual_plan() -> None:
    assert work_out(PlanRequest()).plan == Plan(
        dose_g=20.0,
        ratio=16.0,
        water_g=320.0,
        bloom_s=35.0,
        finish_s=190.0,
        stages=(
            Stage("bloom", 0.0, 40.0, 5.0),
            Stage("pour 1", 35.0, 180.0, 5.0),
            Stage("pour 2", 90.0, 320.0, 5.0),
        ),
        temperature_c=94.0,
        brewer="small-cone",
    )


@pytest.mark.parametrize(
    ("request_", "dose_g", "water_g"),
    [
        (PlanRequest(dose_g=20.0, ratio=16.0), 20.0, 320.0),
        (PlanRequest(dose_g=20.0, water_g=330.0), 20.0, 330.0),
        # 2 g kept by each gram of grounds (Lockhart 1957, from memory).
        (PlanRequest(dose_g=20.0, cup_g=280.0), 20.0, 320.0),
        (PlanRequest(cup_g=280.0), 20.0, 320.0),
        (PlanRequest(cup_g=300.0, ratio=17.0), 20.0, 340.0),
        (PlanRequest(water_g=320.0), 20.0, 320.0),
        (PlanRequest(water_g=340.0, ratio=17.0), 20.0, 340.0),
        (PlanRequest(ratio=15.0), 20.0, 300.0),
        (PlanRequest(ratio=15.0, brewer="large-cone"), 32.0, 480.0),
        # Bloom at twice the dose, common practice: 60 g takes 120 g.
        (PlanRequest(dose_g=60.0, brewer="large-cone"), 60.0, 960.0),
    ],
)
def test_any_two_of_dose_ratio_and_water_settle_the_third(
    request_: PlanRequest, dose_g: float, water_g: float
) -> None:
    plan = work_out(request_).plan
    assert (plan.dose_g, plan.water_g) == (dose_g, water_g)
    assert plan.ratio == water_g / dose_g
    assert plan.stages[0].to_g == 2 * dose_g
    assert plan.stages[-1].to_g == water_g


@pytest.mark.parametrize(
    ("request_", "says"),
    [
        (PlanRequest(dose_g=900.0), "900 g of coffee cannot be brewed by hand"),
        (PlanRequest(dose_g=0.0), "0 g of coffee"),
        (PlanRequest(dose_g=-20.0), "-20 g of coffee"),
        (PlanRequest(dose_g=float("nan")), "nan g of coffee"),
        (PlanRequest(ratio=float("inf")), "inf parts of water"),
        (PlanRequest(flow_gps=0.0), "0 g/s of flow"),
        (PlanRequest(pours=0), "0 pours after the bloom"),
        (PlanRequest(bloom_multiple=17.0), "a bloom of 340 g is not less than the 320 g"),
        (PlanRequest(bloom_multiple=16.0), "a bloom of 320 g is not less than the 320 g"),
        (PlanRequest(dose_g=3.0, ratio=12.0, pours=12), "too small to pour"),
        (PlanRequest(temperature_c=120.0), "120 °C"),
        (PlanRequest(bloom_wait_s=-1.0), "-1 s of bloom wait"),
        (PlanRequest(brewer="bucket"), "unknown brewer 'bucket'"),
        (PlanRequest(water_g=300.0, cup_g=250.0), "water and cup"),
        (PlanRequest(dose_g=20.0, ratio=16.0, water_g=300.0), "one too many"),
        (PlanRequest(dose_g=20.0, ratio=16.0, cup_g=300.0), "one too many"),
        (PlanRequest(dose_g=140.0, water_g=280.0), "2 parts of water"),
    ],
)
def test_what_cannot_be_brewed_is_refused_in_a_sentence(request_: PlanRequest, says: str) -> None:
    with pytest.raises(UsageError, match=says) as refusal:
        work_out(request_)
    assert refusal.value.remedy
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize(
    ("request_", "says"),
    [
        (PlanRequest(ratio=13.9), "1:14-1:20"),
        (PlanRequest(ratio=20.1), "1:14-1:20"),
        (PlanRequest(temperature_c=91.9), "92-96 °C"),
        (PlanRequest(temperature_c=96.1), "92-96 °C"),
        (PlanRequest(dose_g=8.0, pours=1), "2-5 minutes"),
        (PlanRequest(dose_g=60.0, brewer="large-cone"), "2-5 minutes"),
        (PlanRequest(bloom_multiple=1.0), "may leave grounds dry"),
        (PlanRequest(bloom_multiple=5.0), "brews already"),
        (PlanRequest(bloom_wait_s=90.0), "15-60 s is usual"),
        (PlanRequest(flow_gps=1.0), "hard to hold"),
        (PlanRequest(dose_g=40.0), "near the rim, and hot water over the edge scalds"),
    ],
)
def test_what_is_unusual_is_warned_about(request_: PlanRequest, says: str) -> None:
    assert any(says in warning for warning in work_out(request_).warnings)


@pytest.mark.parametrize("ratio", [14.0, 20.0])
@pytest.mark.parametrize("temperature_c", [92.0, 96.0])
def test_the_bounds_themselves_are_usual(ratio: float, temperature_c: float) -> None:
    assert work_out(PlanRequest(ratio=ratio, temperature_c=temperature_c)).warnings == ()


@given(REQUESTS)
def test_a_plan_pours_all_its_water_in_order_and_drains_after(request_: PlanRequest) -> None:
    plan = plan_or_refusal(request_)
    assume(plan is not None)
    assert plan is not None
    refuse_impossible(plan)
    assert plan.target_g(plan.finish_s) == plan.water_g
    ends_s = [plan.stage_end_s(index) for index in range(len(plan.stages))]
    starts_s = [stage.start_s for stage in plan.stages]
    assert all(start_s >= end_s for end_s, start_s in zip(ends_s, starts_s[1:], strict=False))
    assert plan.finish_s > ends_s[-1]
    marks_g = [0.0, *(stage.to_g for stage in plan.stages)]
    assert all(to_g > from_g for from_g, to_g in pairwise(marks_g))


@given(REQUESTS)
def test_the_bloom_waits_as_asked_or_within_the_rule(request_: PlanRequest) -> None:
    plan = plan_or_refusal(request_)
    assume(plan is not None)
    assert plan is not None
    wait_s = plan.bloom_s - plan.stage_end_s(0)
    if request_.bloom_wait_s is None:
        assert LEAST_WAIT_S <= wait_s <= MOST_WAIT_S
        assert plan.bloom_s % 5.0 == 0.0
    else:
        assert wait_s == pytest.approx(request_.bloom_wait_s)


@given(REQUESTS)
def test_no_rest_is_shorter_than_it_is_said_to_be(request_: PlanRequest) -> None:
    """Rounding to fives made one plan in ten rest for less than its ten seconds."""
    plan = plan_or_refusal(request_)
    assume(plan is not None)
    assert plan is not None
    for index in range(1, len(plan.stages) - 1):
        assert plan.stages[index + 1].start_s - plan.stage_end_s(index) >= 10.0 - 1e-9
    assert plan.finish_s - plan.stage_end_s(len(plan.stages) - 1) >= 10.0 - 1e-9


@pytest.mark.parametrize("brewer", sorted(BREWERS))
@pytest.mark.parametrize("dose_g", [12.0, 18.0, 20.0, 25.0, 30.0])
@pytest.mark.parametrize("days", [None, 3.0, 10.0, 30.0, 60.0])
def test_roast_and_age_change_the_table_as_the_reasons_say(
    brewer: str, dose_g: float, days: float | None
) -> None:
    for roast in (None, *Roast):
        request = PlanRequest(brewer=brewer, dose_g=dose_g, roast=roast, days_off_roast=days)
        worked = work_out(request)
        wait_s = worked.plan.bloom_s - worked.plan.stage_end_s(0)
        waits = [reason for reason in worked.reasons if reason.startswith("bloom wait: ")]
        listed = [
            float(reason.removeprefix("bloom wait: ").split(" s")[0]) for reason in waits[:-1]
        ]
        assert sum(listed) == pytest.approx(wait_s, abs=0.02)
        assert waits[-1] == f"bloom wait: = {wait_s:.3g} s in all"


def test_over_five_minutes_it_says_what_would_bring_it_back() -> None:
    request = PlanRequest(dose_g=45.0, brewer="flat-bottom")
    worked = work_out(request)
    assert worked.plan.finish_s > 300.0
    (note,) = (warning for warning in worked.warnings if warning.startswith("to stay within 5:00"))
    # Each way that is offered is worked out here once more.
    ways = dict(
        re.findall(r"(a [a-z-]+|\d+ g of coffee|[\d.]+ g/s|\d+ pours)[^,;(]*\((\d:\d\d)\)", note)
    )
    assert len(ways) >= 2
    for way, clock in ways.items():
        number = float(way.split()[0]) if way[0].isdigit() else 0.0
        if way.startswith("a "):
            changed = replace(request, brewer=way[2:])
        elif "coffee" in way:
            changed = replace(request, dose_g=number)
        elif "pours" in way:
            changed = replace(request, pours=int(number))
        else:
            changed = replace(request, flow_gps=number)
        finish_s = work_out(changed).plan.finish_s
        assert finish_s <= 300.0
        assert f"{int(finish_s // 60)}:{int(finish_s % 60):02d}" == clock


def test_ice_and_bypass_are_part_of_the_water() -> None:
    worked = work_out(PlanRequest(dose_g=20.0, ratio=16.0, ice_g=100.0, bypass_g=20.0))
    plan = worked.plan
    assert (plan.water_g, plan.ice_g, plan.bypass_g, plan.ratio) == (200.0, 100.0, 20.0, 10.0)
    assert (plan.cup_ratio, plan.stages[-1].to_g) == (16.0, 200.0)
    # The cup is as strong as without, at the same extraction: 20 / (16 - 2) = 1.43 %.
    assert "strength to expect: 1.29-1.57 %" in worked.reasons[-1]
    assert any("only 10 g of water run through each gram" in note for note in worked.warnings)


@pytest.mark.parametrize(
    ("request_", "poured_g"),
    [
        (PlanRequest(dose_g=20.0, water_g=320.0, ice_g=80.0), 240.0),
        # 280 g in the cup, 80 g of them ice: 200 g drip out of 240 g.
        (PlanRequest(dose_g=20.0, cup_g=280.0, ice_g=80.0), 240.0),
    ],
)
def test_water_and_cup_count_the_ice_too(request_: PlanRequest, poured_g: float) -> None:
    assert work_out(request_).plan.water_g == poured_g


def test_too_much_ice_is_refused() -> None:
    with pytest.raises(UsageError, match="250 g of ice and bypass leave 70 g to pour on 20 g"):
        work_out(PlanRequest(dose_g=20.0, ratio=16.0, ice_g=250.0))


def test_what_is_done_after_the_bloom_stands_in_the_plan() -> None:
    plan = work_out(PlanRequest(bloom_then=Then.SWIRL)).plan
    assert [stage.then for stage in plan.stages] == [Then.SWIRL, None, None]


def test_the_reasons_label_the_rule_of_thumb() -> None:
    reasons = work_out(PlanRequest(roast=Roast.LIGHT)).reasons
    assert any("rule of thumb" in reason for reason in reasons)
    assert any("light roast" in reason for reason in reasons)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({"doze_g": 20}, "the plan, doze_g is not known here"),
        ({"dose_g": "20"}, "dose_g is '20'"),
        ({"dose_g": True}, "dose_g is True"),
        ({"pours": 2.5}, "pours is 2.5; make it a whole number"),
        ({"pours": float("inf")}, "pours is inf"),
        ({"roast": "burnt"}, "roast is 'burnt'; use one of light, "),
    ],
)
def test_a_request_from_a_file_is_checked(data: dict[str, object], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        PlanRequest.from_dict(data)
