"""The demo's brews have something to show: each pour is judged, and what it comes to is true."""

from dataclasses import replace

import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.pipeline import Pipeline
from pourcoach.session.demo import PROFILE
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.hand.profiles import profile_named
from pourcoach.simulation.scale.scale_model import model_named
from tests.benchmarks.coaching.guided import guided


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_pours_of_a_hand_that_heeds_the_words_are_judged(seed):
    plan = work_out(PlanRequest()).plan
    hand = replace(profile_named(PROFILE), listens=True)
    brew = SimulatedBrew(plan, hand, seed, replace(model_named("kitchen"), rate_hz=20.0))
    pipeline = Pipeline(plan)
    *_, frame = guided(brew, pipeline, until_s=300.0)
    found = pipeline.finish(frame.t_s).estimate.pours
    assert len(found) == len(brew.truth.pours) == 3
    for pour, true in zip(found, brew.truth.pours, strict=True):
        assert pour.flow_cv == pytest.approx(true.flow_cv, abs=0.03)
