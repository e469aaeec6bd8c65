"""Water stays below the rim. Volumes and rates are common practice; the arithmetic is pinned."""

from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pourcoach.brewing.plan.brewer import BREWERS
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.brewing.plan.water_level import FULL_SHARE, WaterLevel, overflow_of, refuse_overflow
from pourcoach.domain.errors import UsageError

SMALL = BREWERS["small-cone"]


def test_grounds_drink_before_water_stands() -> None:
    level = WaterLevel(SMALL, 20.0)
    level.pour(40.0, 5.0)
    assert (level.standing_g, level.filled_ml) == (0.0, 60.0)
    # 100 g in 20 s, of which 20 × 1.8 g run through.
    level.pour(100.0, 5.0)
    assert level.standing_g == pytest.approx(64.0)
    level.wait(10.0)
    assert level.standing_g == pytest.approx(46.0)
    assert level.drained_s() == pytest.approx(46.0 / 1.8)
    level.wait(100.0)
    assert level.standing_g == 0.0


def test_a_trickle_does_not_rise() -> None:
    level = WaterLevel(SMALL, 20.0)
    level.pour(40.0, 1.0)
    level.pour(100.0, 1.0)
    assert level.standing_g == 0.0


def test_450_g_in_45_s_into_a_small_cone_is_refused_with_the_reason() -> None:
    request = PlanRequest(dose_g=30.0, water_g=450.0, pours=1, flow_gps=10.0)
    with pytest.raises(UsageError, match="hot water over the edge scalds") as refusal:
        work_out(request)
    assert "use more pours" in refusal.value.remedy


def test_it_is_split_where_no_number_of_pours_is_asked_for() -> None:
    request = PlanRequest(dose_g=30.0, water_g=450.0, flow_gps=10.0)
    worked = work_out(request)
    assert len(worked.plan.stages) - 1 == 4
    assert "pours: 4 rather than 2, so that hot water stays below the rim" in worked.reasons
    with pytest.raises(UsageError, match="hot water over the edge scalds"):
        work_out(replace(request, pours=3))


@given(
    dose_g=st.floats(5.0, 100.0),
    ratio=st.floats(8.0, 20.0),
    flow_gps=st.floats(2.0, 20.0),
    brewer=st.sampled_from(sorted(BREWERS)),
)
def test_no_plan_that_is_worked_out_overflows(
    dose_g: float, ratio: float, flow_gps: float, brewer: str
) -> None:
    request = PlanRequest(dose_g=dose_g, ratio=ratio, flow_gps=flow_gps, brewer=brewer)
    try:
        plan = work_out(request).plan
    except UsageError as refusal:
        assume("scalds" in str(refusal) or "small" in str(refusal))
        return
    kind = BREWERS[brewer]
    assert overflow_of(kind, dose_g, plan.stages) is None
    # By hand, second by second, in tenths.
    thirst, standing, poured = 2.0 * dose_g, 0.0, 0.0
    for tenth in range(int(plan.finish_s * 10)):
        target = plan.target_g(tenth / 10)
        more, poured = target - poured, target
        taken = min(thirst, more)
        thirst -= taken
        standing = max(0.0, standing + more - taken - kind.drain_gps / 10)
        assert 3.0 * dose_g + standing <= FULL_SHARE * kind.holds_ml + 2.5


def test_every_brewers_usual_plan_has_room() -> None:
    for kind in BREWERS.values():
        plan = work_out(PlanRequest(brewer=kind.name)).plan
        refuse_overflow(plan, kind)
        assert len(plan.stages) - 1 == kind.pours
