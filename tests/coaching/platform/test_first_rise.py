"""Coffee or water: what comes in before the tare, and what comes in after it that may be coffee."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from pourcoach.coaching.platform.first_rise import UntaredRise, beyond_the_dose, is_the_dose
from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.estimate import Estimate, ScaleTraits
from pourcoach.domain.inputs import Begin, Reading, Tare
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, Pour, Question, StagePour
from pourcoach.pipeline import Pipeline
from pourcoach.wording import cue_sentence
from tests.coaching.conftest import grams, seconds

Brew = Any
BREWER_G = 612.0
DOSE_G = 15.0


@pytest.fixture
def loaded(plan: Plan, new_brew: Callable[..., Brew]) -> Brew:
    """A brewer of 612 g on a scale that nobody has tared since."""
    return new_brew(plan).jump(BREWER_G).rest(1.0)


def test_water_on_an_untared_scale_is_asked_about(loaded: Brew) -> None:
    loaded.pour(5.0, 9.0).rest(2.0)
    frame = loaded.frames[-1]
    assert (frame.cue.word, frame.cue.state) == (Word.SCALE, CueState.DUE)
    assert frame.pour.question is Question.UNTARED_WATER
    assert frame.pour.rise_g == grams(45.0)
    assert cue_sentence(frame) == (
        "45 g came in before a tare. Was it water? Space counts it. If not, press t."
    )


def test_space_counts_the_water_that_came_before_it(loaded: Brew) -> None:
    loaded.pour(5.0, 9.0).rest(2.0)
    began_s = loaded.t_s - 11.0
    loaded.key(Begin(loaded.t_s)).rest(0.5)
    state = loaded.frames[-1].pour
    assert state.water_g == grams(45.0)
    assert state.brew_start_s == seconds(began_s)
    assert state.question is None


def test_a_vessel_that_a_scale_without_noise_shows_at_once_is_no_water(plan: Plan) -> None:
    pipeline, weights_g = Pipeline(plan), [0.0] * 30 + [BREWER_G] * 30
    weights_g += [BREWER_G + 0.5 * min(place, 90) for place in range(1, 121)]
    for place, weight_g in enumerate(weights_g):
        frame = pipeline.feed(Reading(place / 10, weight_g))
    assert frame.pour.question is Question.UNTARED_WATER
    assert frame.pour.rise_g == grams(45.0)
    assert pipeline.feed(Begin(place / 10)).pour.water_g == grams(45.0)


def test_space_as_the_first_water_comes_counts_all_of_it(brew: Brew) -> None:
    brew.pour(5.0, 0.3)
    brew.key(Begin(brew.t_s)).pour(5.0, 7.7).rest(1.0)
    assert brew.frames[-1].pour.water_g == grams(40.0)


def test_a_trickle_before_the_first_pour_is_water_and_asks_nothing(brew: Brew) -> None:
    brew.pour(0.8, 4.0).rest(4.0)
    assert brew.frames[-1].pour.question is None
    brew.pour(5.0, 7.0).rest(2.0)
    state = brew.frames[-1].pour
    assert (state.question, state.phase) == (None, Phase.WAITING)
    assert state.water_g == grams(38.2)


def test_space_while_the_water_runs_counts_all_of_it(loaded: Brew) -> None:
    loaded.pour(5.0, 6.0)
    loaded.key(Begin(loaded.t_s)).pour(5.0, 2.0).rest(1.0)
    assert loaded.frames[-1].pour.water_g == grams(40.0)


def test_a_tare_says_that_it_was_no_water(loaded: Brew) -> None:
    loaded.pour(5.0, 9.0).rest(2.0)
    loaded.key(Tare(loaded.t_s)).rest(1.0)
    frame = loaded.frames[-1]
    assert frame.cue.word is Word.READY
    loaded.pour_to(40.0)
    assert loaded.frames[-1].pour.water_g == grams(40.0)


def test_coffee_put_in_before_the_tare_is_not_asked_about(loaded: Brew) -> None:
    loaded.pour(8.0, 1.9).rest(2.0)
    frame = loaded.frames[-1]
    assert (frame.cue.word, frame.pour.question) == (Word.TARE, None)
    assert "15 g came in since." in cue_sentence(frame)


def test_coffee_is_left_out_of_the_water_that_follows_it(loaded: Brew) -> None:
    loaded.pour(7.5, 2.0).rest(3.0).pour(5.0, 8.0).rest(2.0)
    assert loaded.frames[-1].pour.rise_g == pytest.approx(40.0, abs=0.3)
    loaded.key(Begin(loaded.t_s)).rest(0.5)
    assert loaded.frames[-1].pour.water_g == pytest.approx(40.0, abs=0.3)


def test_what_is_taken_away_again_was_no_water(loaded: Brew) -> None:
    """A filter is rinsed and the rinse poured away."""
    loaded.pour(8.0, 10.0).rest(1.0).jump(-80.0).rest(2.0)
    state = loaded.frames[-1].pour
    assert (state.question, state.rise_g) == (None, None)


def test_as_much_as_the_dose_after_the_tare_is_asked_about(brew: Brew) -> None:
    brew.pour(7.5, 2.0).rest(1.6)
    frame = brew.frames[-1]
    assert frame.pour.question is Question.COFFEE
    assert (frame.cue.word, frame.cue.state) == (Word.SCALE, CueState.DUE)
    assert cue_sentence(frame).startswith("15 g came in, as much as the coffee.")


def test_a_tare_says_that_it_was_coffee(brew: Brew) -> None:
    brew.pour(7.5, 2.0).rest(2.0)
    brew.key(Tare(brew.t_s)).rest(1.0)
    state = brew.frames[-1].pour
    assert (state.phase, state.armed, state.question) == (Phase.READY, True, None)


def test_more_than_the_coffee_can_be_stays_water_when_it_is_tared(brew: Brew) -> None:
    """A bloom far too light is no coffee either, whatever is tared after it."""
    brew.pour_to(25.0).rest(4.0)
    brew.key(Tare(brew.t_s)).rest(3.0)
    state = brew.frames[-1].pour
    assert (state.phase, state.water_g) == (Phase.POURING, grams(25.0))


def test_pouring_on_says_that_it_was_water(brew: Brew) -> None:
    brew.pour(7.5, 2.0).rest(2.0).pour_to(30.0)
    frame = brew.frames[-1]
    assert frame.pour.question is None
    assert frame.pour.water_g == grams(30.0)
    assert frame.cue.word is not Word.SCALE


def test_a_light_bloom_that_is_no_dose_is_not_asked_about(brew: Brew) -> None:
    brew.pour(5.0, 4.0).rest(3.0)
    assert brew.frames[-1].pour.question is None
    assert brew.frames[-1].cue.word is Word.MORE


def test_water_that_runs_through_the_tare_is_noticed_from_there(loaded: Brew) -> None:
    loaded.pour(5.0, 3.0)
    loaded.key(Tare(loaded.t_s)).pour(5.0, 6.0).rest(1.0)
    frame = loaded.frames[-1]
    assert frame.pour.question is Question.UNTARED_WATER
    assert frame.pour.rise_g == grams(30.0)
    loaded.key(Begin(loaded.t_s)).rest(0.5)
    assert loaded.frames[-1].pour.water_g == grams(30.0)


def test_space_while_water_runs_on_an_untared_scale_counts_it_from_its_beginning(
    loaded: Brew,
) -> None:
    loaded.pour(5.0, 3.0)
    loaded.key(Begin(loaded.t_s)).pour(5.0, 3.0).rest(1.0)
    assert loaded.frames[-1].pour.water_g == grams(30.0)


@pytest.mark.parametrize(("rested_s", "coffee"), [(0.4, False), (0.6, True)])
def test_as_much_as_the_dose_is_the_dose_once_it_rests(
    plan: Plan, rested_s: float, coffee: bool
) -> None:
    stage = StagePour("bloom", (Pour(5.0, 0.0, 9.0, plan.dose_g),))
    assert is_the_dose(stage, plan, 9.0 + rested_s) is coffee


@pytest.mark.parametrize(
    ("dose_g", "mass_g", "coffee"),
    [(10.0, 10.9, True), (10.0, 11.2, False), (30.0, 32.0, True), (30.0, 32.6, False)],
)
def test_a_dose_is_weighed_out_to_a_gram_or_seven_in_a_hundred(
    plan: Plan, dose_g: float, mass_g: float, coffee: bool
) -> None:
    """Further off, a light bloom would be asked about; nearer, coffee spooned in would be water."""
    stage = StagePour("bloom", (Pour(5.0, 0.0, 9.0, mass_g),))
    assert is_the_dose(stage, replace(plan, dose_g=dose_g), 12.0) is coffee


@pytest.mark.parametrize(("mass_g", "water"), [(30.0, False), (40.0, True)])
def test_without_a_plan_no_coffee_is_heavier_than_for_some_cups(mass_g: float, water: bool) -> None:
    assert beyond_the_dose(mass_g, None) is water


@pytest.mark.parametrize(("poured_g", "counts"), [(222.0, True), (208.0, False), (271.0, False)])
def test_a_rise_that_nobody_answered_for_is_the_water_if_it_comes_to_the_plans(
    loaded: Brew, poured_g: float, counts: bool
) -> None:
    """Who pours by eye comes within a tenth. What is further off may have been rinsed with."""
    loaded.pour(8.0, poured_g / 8.0).rest(3.0)
    assert (loaded.close().pour.brew_start_s is not None) is counts


@pytest.mark.parametrize(("risen_g", "noticed"), [(1.6, False), (2.5, True)])
def test_a_rise_of_a_drop_is_not_reported(plan: Plan, risen_g: float, noticed: bool) -> None:
    """A spoon's drops are not worth a question, and the first of the water is."""
    rise, poured = UntaredRise(plan), Pour(5.0, 300.0, 6.0, 300.0 + risen_g)
    still = Estimate(4.0, 300.0, 0.1, 0.0, 0.1, False, 0.0, None, None, (), ScaleTraits())
    rise.feed(4.0, still)
    rise.feed(7.0, still._replace(mass_g=300.0 + risen_g, pours=(poured,)))
    assert (rise.now is not None) is noticed


@pytest.mark.parametrize(("more_g", "water"), [(4.0, False), (5.5, True)])
def test_the_last_of_the_coffee_may_fall_after_the_tare(
    brew: Brew, more_g: float, water: bool
) -> None:
    """Tared a moment too soon after dosing; a pour tared by mistake brings more."""
    brew.pour(8.0, 1.9)
    brew.key(Tare(brew.t_s)).pour(5.0, more_g / 5.0).rest(3.0)
    assert (brew.frames[-1].pour.brew_start_s is not None) is water
