"""The kettle that a student tilts."""

from random import Random

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.simulation.kettle import REFILL_S, Kettle, KettleBrew, KettleModel
from pourcoach.simulation.scale.scale_model import model_named
from pourcoach.simulation.ticks import TICK_S

PLAN = Plan(10, 10, 100, 20, 30, (Stage("pour 1", 0, 100, 5),))
STILL = KettleModel(tremor=0.0)


def _run(kettle: Kettle, seconds: float) -> list[float]:
    return [kettle.step() for _ in range(round(seconds / TICK_S))]


def _kettle(**model: object) -> Kettle:
    return Kettle(KettleModel(**{"tremor": 0.0, **model}), Random(1))  # type: ignore[arg-type]


def test_upright_nothing_runs_and_tilted_it_does() -> None:
    kettle = _kettle()
    assert max(_run(kettle, 1.0)) == 0.0
    kettle.tilt_to(0.8)
    assert _run(kettle, 1.0)[-1] > 2.0


def test_let_go_the_stream_ends_within_the_lag_and_a_little() -> None:
    kettle = _kettle()
    kettle.tilt_to(1.0)
    _run(kettle, 2.0)
    kettle.tilt_to(0.0)
    flows = _run(kettle, 1.0)
    assert flows[0] > 5.0
    assert flows[round(0.5 / TICK_S)] == 0.0


def test_an_emptier_kettle_must_be_tilted_further() -> None:
    flows = []
    for fill_g in (1200.0, 600.0, 200.0):
        kettle = _kettle(fill_g=fill_g)
        kettle.tilt_to(0.7)
        flows.append(_run(kettle, 1.0)[-1])
    assert flows[0] > flows[1] > flows[2]


def test_a_wider_spout_lets_more_through_and_none_more_than_it_can() -> None:
    for spout, most_gps in (("fine", 9.0), ("medium", 14.0), ("wide", 22.0)):
        kettle = _kettle(spout=spout)
        kettle.tilt_to(5.0)
        flow_gps = _run(kettle, 2.0)[-1]
        assert 0.8 * most_gps < flow_gps <= most_gps


def test_what_is_poured_is_missing_in_the_kettle_and_refilled_it_is_back() -> None:
    kettle = _kettle(fill_g=300.0)
    kettle.tilt_to(1.0)
    poured_g = sum(_run(kettle, 5.0)) * TICK_S
    assert kettle.water_g == pytest.approx(300.0 - poured_g)
    kettle.refill()
    assert kettle.away
    assert sum(_run(kettle, REFILL_S)[200:]) == 0.0
    assert kettle.water_g == 300.0


def test_an_empty_kettle_runs_dry() -> None:
    kettle = _kettle(fill_g=50.0)
    kettle.tilt_to(1.0)
    assert sum(_run(kettle, 60.0)) * TICK_S <= 50.0 + 1e-9
    assert kettle.flow_gps < 0.1


def test_tremor_makes_the_stream_wander() -> None:
    kettle = Kettle(KettleModel(tremor=0.02), Random(1))
    kettle.tilt_to(0.8)
    flows = _run(kettle, 5.0)[400:]
    assert max(flows) - min(flows) > 0.2


def test_the_scale_shows_what_left_the_spout() -> None:
    brew = KettleBrew(PLAN, STILL, 1, model_named("ideal"))
    brew.kettle.tilt_to(0.8)
    brew.advance_to(6.0)
    brew.kettle.tilt_to(0.0)
    readings = brew.advance_to(10.0)
    assert brew.poured_g > 10.0
    assert readings[-1].grams == pytest.approx(brew.poured_g, abs=0.6)  # some goes off as vapour


def test_readings_do_not_depend_on_how_time_is_cut() -> None:
    whole, cut = (KettleBrew(PLAN, KettleModel(), 3) for _ in range(2))
    for brew in (whole, cut):
        brew.kettle.tilt_to(0.9)
    pieces = [reading for n in range(1, 41) for reading in cut.advance_to(n * 0.1)]
    assert pieces == whole.advance_to(4.0)


@pytest.mark.parametrize(
    ("model", "why"),
    [({"spout": "hose"}, "no spout"), ({"fill_g": 9.0}, "fill"), ({"tremor": 1.0}, "tremor")],
)
def test_what_no_kettle_is_is_refused(model: dict[str, object], why: str) -> None:
    with pytest.raises(UsageError, match=why):
        KettleModel(**model)  # type: ignore[arg-type]
