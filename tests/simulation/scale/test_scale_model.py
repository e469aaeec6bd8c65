from statistics import correlation

import pytest

from pourcoach.domain.errors import UsageError
from pourcoach.domain.plan import Plan, Stage
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale.scale_model import MODELS, ScaleModel, model_named

PLAN = Plan(10, 10, 100, 18, 60, (Stage("bloom", 0, 20, 5), Stage("pour 1", 18, 100, 5)))


@pytest.mark.parametrize(
    ("values", "complaint"),
    [
        ({"rate_hz": 0.0}, "rate_hz is 0; choose one from 1 to 160"),
        ({"rate_hz": 500.0}, "rate_hz is 500"),
        ({"noise_g": -1.0}, "noise_g is -1"),
        ({"noise_g": float("nan")}, "noise_g is nan"),
        ({"damping": 1.0}, "damping is 1"),
        ({"loss": 1.5}, "loss is 1.5; choose one from 0 to 1"),
    ],
)
def test_what_cannot_be_simulated_is_refused(values: dict[str, float], complaint: str) -> None:
    with pytest.raises(UsageError, match=complaint):
        ScaleModel(**values)


def test_a_scale_of_an_unknown_name_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UsageError, match="no simulated scale is called 'gold'; there are kitchen"):
        model_named("gold")


@pytest.mark.parametrize("name", MODELS)
def test_every_model_weighs_a_brew(name: str) -> None:
    model = MODELS[name]
    brew = SimulatedBrew(PLAN, "steady", 1, model)
    readings = brew.run()
    assert brew.end_s is not None
    # A lost packet of 20 bytes takes 1.4 lines of 9 with it on average for each line it holds.
    come = (1 - model.loss) * (1 - 1.4 * model.packet_loss)
    assert len(readings) == pytest.approx(brew.end_s * model.rate_hz * come, rel=0.03)
    assert readings[-1].grams == pytest.approx(100, abs=3)
    assert (readings[0].device_s is not None) is model.sends_time
    assert (readings[0].sequence is not None) is model.sends_sequence


def test_the_lively_one_hangs_together_at_rest() -> None:
    brew = SimulatedBrew(PLAN, "steady", 1, ScaleModel(60, 0, 0.03, 0.035))
    rest = [r.grams for r in brew.advance_to(12.0) if r.t_s < brew.truth.first_water_s]
    assert 0.2 < correlation(rest[:-1], rest[1:]) < 0.8
