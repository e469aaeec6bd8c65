import json

import pytest

from pourcoach.domain.plan import Plan, Stage
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.faults import Stall
from pourcoach.simulation.ticks import TICK_S

PLAN = Plan(10, 10, 100, 18, 60, (Stage("bloom", 0, 20, 5), Stage("pour 1", 18, 100, 5)))


def brewed(profile: str = "steady", *faults: Stall) -> SimulatedBrew:
    brew = SimulatedBrew(PLAN, profile, 1, faults=faults)
    brew.run()
    return brew


def test_flow_is_the_slope_of_what_is_poured() -> None:
    truth = brewed("unsteady").truth
    for tick in range(0, len(truth.spout_gps), 37):
        t_s = (tick + 0.5) * TICK_S
        rise_g = truth.poured_g(t_s + TICK_S / 2) - truth.poured_g(t_s - TICK_S / 2)
        assert truth.flow_gps(t_s) == pytest.approx(rise_g / TICK_S, abs=1e-6)


def test_outside_the_brew_nothing_flows_and_the_sum_stands() -> None:
    truth = brewed().truth
    assert truth.flow_gps(-1.0) == truth.flow_gps(1e6) == 0
    assert truth.poured_g(-1.0) == 0
    assert truth.poured_g(1e6) == truth.poured[-1]


def test_pours_are_the_runs_of_water() -> None:
    truth = brewed("steady", Stall(1)).truth
    assert [pour.stage for pour in truth.pours] == [0, 1, 1]
    for pour in truth.pours:
        assert truth.flow_gps(pour.start_s - TICK_S) == 0
        assert truth.flow_gps((pour.start_s + pour.end_s) / 2) > 2
        assert truth.flow_gps(pour.end_s + TICK_S) == 0
    assert truth.pours[0].start_s == pytest.approx(truth.first_water_s)
    assert truth.pours[-1].end_g == truth.poured[-1]
    assert truth.pours[1].end_g == truth.pours[2].start_g


@pytest.mark.parametrize(("profile", "low", "high"), [("steady", 0, 0.12), ("unsteady", 0.2, 0.6)])
def test_the_realised_evenness_is_that_of_the_flow(profile: str, low: float, high: float) -> None:
    for pour in brewed(profile).truth.pours:
        if pour.end_s - pour.start_s >= 4:
            assert pour.flow_cv is not None
            assert low < pour.flow_cv < high


def test_it_goes_into_json_and_keeps_its_figures() -> None:
    truth = brewed("stalling").truth
    data = json.loads(json.dumps(truth.as_dict()))
    assert [fault["kind"] for fault in data["faults"]] == ["stall"]
    assert len(data["pours"]) == 3
    assert data["first_water_s"] == pytest.approx(truth.first_water_s, abs=1e-3)
    index = round(data["pours"][1]["start_s"] / data["step_s"]) + 40
    assert data["poured_g"][index] == pytest.approx(
        truth.poured_g(index * data["step_s"]), abs=0.001
    )
