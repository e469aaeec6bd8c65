"""What goes off as vapour during a pour, learnt from the rest after it."""

from dataclasses import replace
from random import Random

import pytest

from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.pour import Pour
from pourcoach.estimation.pours.vapour import VapourLearner
from pourcoach.pipeline import Pipeline
from pourcoach.reports.brew.stage_table import result_line
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.faults import Vapour

# Written out: what is imported would hold whatever it is.
FROM_S, TO_S, USUAL_GPS = 2.0, 14.0, 0.025

FIRST = Pour(5.0, 0.0, 15.0, 50.0)
OPEN = Pour(45.0, 49.0)


def rest_after(
    learner: VapourLearner,
    pour: Pour,
    loss_gps: float,
    *,
    until_s: float = 20.0,
    noise_g: float = 0.03,
    step_g: float = 0.1,
    rate_hz: float = 10.0,
    seed: int = 1,
) -> None:
    """Quiet readings after a pour, from a coarse and noisy scale."""
    assert pour.end_s is not None
    assert pour.end_g is not None
    chance = Random(seed)
    for number in range(1, round(until_s * rate_hz)):
        passed_s = number / rate_hz
        grams = pour.end_g - loss_gps * passed_s + chance.gauss(0, noise_g)
        if passed_s < 1.0:
            grams += 0.5  # it still sloshes
        learner.rested(pour.end_s + passed_s, round(grams / step_g) * step_g)


@pytest.mark.parametrize("loss_gps", [0.01, 0.03, 0.05])
def test_a_pour_is_given_what_went_off_while_it_ran(loss_gps: float) -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, loss_gps)
    (corrected,) = learner.with_losses((FIRST,))
    assert corrected.vapour_g == pytest.approx(loss_gps * 10.0, abs=0.08)
    assert corrected.poured_g == pytest.approx(50.0 + loss_gps * 10.0, abs=0.08)
    assert replace(corrected, vapour_g=None) == FIRST


def test_a_rest_that_teaches_little_leaves_what_is_usual_of_a_bed() -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, 0.0, until_s=6.5, noise_g=1.0)
    assert learner.close()[0].vapour_g == pytest.approx(10.0 * 0.025, abs=0.04)


def test_nothing_is_said_before_the_rest_has_taught_it() -> None:
    learner = VapourLearner()
    assert learner.with_losses((FIRST,)) == (FIRST,)
    rest_after(learner, FIRST, 0.03, until_s=TO_S - 1.0)
    same = (FIRST,)
    assert learner.with_losses(same) == same
    assert learner.close()[0].vapour_g is not None


def test_the_same_pours_come_back_as_long_as_nothing_changes() -> None:
    learner, pours = VapourLearner(), (FIRST,)
    assert learner.with_losses(pours) is pours
    rest_after(learner, FIRST, 0.03)
    corrected = learner.with_losses(pours)
    assert corrected is not pours
    assert learner.with_losses(pours) is corrected


def test_the_next_pour_ends_the_rest_and_a_refined_end_keeps_what_was_learnt() -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, 0.03, until_s=9.0)
    learnt = learner.with_losses((FIRST, OPEN))[0].vapour_g
    assert learnt == pytest.approx(0.3, abs=0.1)
    refined = replace(FIRST, end_s=15.1, refined=True)
    corrected = learner.with_losses((refined, OPEN))
    assert corrected[0].vapour_g == pytest.approx(learnt, rel=0.02)
    assert corrected[1] is OPEN


def test_a_short_rest_is_trusted_less_than_the_rest_before() -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, 0.05)
    second = Pour(45.0, 49.0, 55.0, 99.0)
    learner.with_losses((FIRST, OPEN))
    learner.with_losses((FIRST, second))
    rest_after(learner, second, -0.1, until_s=FROM_S + 4.5, noise_g=0.4, seed=5)
    assert learner.close()[1].vapour_g == pytest.approx(0.5, abs=0.15)


def test_a_rest_that_teaches_nothing_is_taken_to_be_as_the_one_before() -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, 0.04)
    second = Pour(45.0, 49.0, 55.0, 99.0)
    learner.with_losses((FIRST, second))
    rest_after(learner, second, 0.04, until_s=FROM_S + 1.0)
    assert learner.close()[1].vapour_g == pytest.approx(0.4, abs=0.08)


@pytest.mark.parametrize("loss_gps", [0.3, -0.3])
def test_a_drift_or_a_hand_teaches_nothing(loss_gps: float) -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, loss_gps)
    assert learner.close() == (FIRST,)


def test_a_weight_that_rises_slowly_gives_no_negative_vapour() -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, -0.1)
    assert learner.close()[0].vapour_g == 0.0


def test_a_vessel_set_down_in_the_rest_is_no_slope() -> None:
    learner, chance = VapourLearner(), Random(2)
    learner.with_losses((FIRST,))
    for tenth in range(20, 140):
        vessel_g = 300.0 if tenth > 70 else 0.0
        learner.rested(15.0 + tenth / 10, 50.0 + vessel_g - 0.003 * tenth + chance.gauss(0, 0.02))
    assert learner.close()[0].vapour_g == pytest.approx(0.3, abs=0.08)


def test_a_scale_too_coarse_to_show_it_gives_the_usual() -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, 0.05, until_s=FROM_S + 4.5, noise_g=0.7, step_g=1.0)
    assert learner.close()[0].vapour_g == pytest.approx(10.0 * USUAL_GPS, abs=0.12)


def test_a_pour_taken_back_leaves_no_trace() -> None:
    learner = VapourLearner()
    learner.with_losses((FIRST,))
    rest_after(learner, FIRST, 0.03)
    assert learner.with_losses(()) == ()
    assert learner.close() == ()


def test_a_whole_brew_on_a_steaming_bed_says_what_left_the_kettle() -> None:
    plan = Plan(10, 16, 160, 20, 70, (Stage("bloom", 0, 30, 5), Stage("pour 1", 20, 160, 5)))
    brew = SimulatedBrew(plan, "steady", 4, faults=[Vapour(0.05)])
    pipeline = Pipeline(plan)
    for reading in brew.run():
        pipeline.feed(reading)
    last = pipeline.finish(brew.end_s or 0.0)
    poured_g, pour = brew.truth.poured[-1], last.pour
    assert pour.water_g < poured_g - 2.0
    assert pour.poured_g == pytest.approx(poured_g, abs=0.5)
    assert "more were poured and have gone off as vapour" in result_line(pour, plan)
    assert "more were poured and have gone off as vapour" in result_line(pour, None)
