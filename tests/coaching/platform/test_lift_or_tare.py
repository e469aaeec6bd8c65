"""What is taken off in mid-brew or put back is asked about where it may be something else."""

import pytest

from pourcoach.coaching.platform.doubts import Doubts
from pourcoach.coaching.platform.lifts import StandingLift
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.inputs import Begin, Tare
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, Question
from pourcoach.wording import cue_sentence
from tests.coaching.asked import asked
from tests.coaching.conftest import Brew, grams
from tests.coaching.planned_brew import NewBrew

BREWER_G = 300.0


@pytest.fixture
def bare(new_brew: NewBrew, plan: Plan) -> Brew:
    """On a scale that weighs the brewer all falls away that stands there, or it was zeroed."""
    brew: Brew = new_brew(plan).jump(BREWER_G).rest(1.0)
    brew.key(Tare(brew.t_s)).rest(2.0).pour_to(40.0).until(20.0)
    return brew.jump(-BREWER_G - 40.0).rest(3.0)


def test_a_drop_that_may_be_a_lift_or_a_tare_is_asked_about(bare: Brew) -> None:
    assert asked(bare) is Question.LIFT_OR_TARE
    assert cue_sentence(bare.frames[-1]) == (
        "The weight fell by 340 g. Is the brewer off? Put it back. Was the scale zeroed? Press t."
    )


@pytest.mark.parametrize("to_zero", [True, False])
def test_only_what_left_the_scale_at_zero_may_have_been_its_tare(
    waiting: Brew, to_zero: bool
) -> None:
    estimate, doubts = waiting.frames[-1].estimate, Doubts()
    lifted = PlatformEvent(EventKind.LIFTED, 20.0, 20.4, -60.0, 0.3, 0.6, to_zero)
    doubts.feed(21.0, estimate._replace(events=(lifted,)), (), 40.0, 0.0, running=False)
    assert doubts.may_be_a_tare(StandingLift(20.0, 60.0, 40.0, 0.6)) is to_zero


def test_it_is_seen_what_left_the_scale_at_zero(bare: Brew, waiting: Brew) -> None:
    waiting.jump(-20.0).rest(3.0)
    lifted = [one.frames[-1].estimate.events[-1] for one in (bare, waiting)]
    assert {event.kind for event in lifted} == {EventKind.LIFTED}
    assert [event.to_zero for event in lifted] == [True, False]


@pytest.mark.parametrize("answer", ["put back", "tare", "pour on"])
def test_it_is_answered_by_what_is_done(bare: Brew, answer: str) -> None:
    match answer:
        case "put back":
            bare.jump(BREWER_G + 40.0).rest(1.0)
        case "tare":
            bare.key(Tare(bare.t_s)).rest(0.5)
        case "pour on":
            bare.until(35.0).pour(5.0, 4.0)
    assert asked(bare) is None
    assert bare.frames[-1].pour.water_g == grams(60.0 if answer == "pour on" else 40.0)


def test_a_doubtful_lift_ends_no_brew(bare: Brew) -> None:
    bare.rest(8.0)
    assert bare.frames[-1].pour.phase is Phase.WAITING
    assert asked(bare) is Question.LIFT_OR_TARE


def test_a_brewer_that_comes_back_heavier_with_no_water_about_is_asked_about(
    waiting: Brew,
) -> None:
    waiting.jump(-300.0).rest(2.0).jump(314.0).rest(1.5)
    frame = waiting.frames[-1]
    assert asked(waiting) is Question.GAIN
    assert (frame.pour.rise_g, frame.pour.water_g) == (grams(14.0), grams(40.0))
    waiting.key(Begin(waiting.t_s)).rest(0.5)
    assert waiting.frames[-1].pour.water_g == grams(54.0)


def test_it_is_asked_about_after_the_last_mark_too(brew: Brew) -> None:
    brew.pour_to(40.0).until(32.0).pour_to(140.0).until(72.0).pour_to(240.0).rest(3.0)
    assert brew.frames[-1].pour.phase is Phase.DRAINING
    brew.jump(-500.0).rest(2.0).jump(514.0).rest(1.5)
    assert asked(brew) is Question.GAIN
    brew.key(Begin(brew.t_s)).rest(0.5)
    assert (asked(brew), brew.frames[-1].pour.water_g) == (None, grams(254.0))


def test_one_that_is_as_heavy_as_before_is_not(waiting: Brew) -> None:
    waiting.jump(-300.0).rest(2.0).jump(303.0).rest(1.5)
    assert asked(waiting) is None


def test_what_comes_back_one_after_the_other_is_no_gain(waiting: Brew) -> None:
    """The server first, and then the cone."""
    waiting.jump(-300.0).rest(2.0).jump(180.0).rest(2.0).jump(120.0).rest(2.0)
    assert asked(waiting) is None
    assert waiting.frames[-1].pour.water_g == grams(40.0)


def test_a_brewer_that_was_tared_on_its_way_comes_back_with_the_water_that_it_held(
    waiting: Brew,
) -> None:
    """The scale shows less than the 300 g that were lifted, and all of them once it is back."""
    waiting.jump(-60.0)
    waiting.feed(Tare(waiting.t_s, by_scale=True))
    waiting.mass_g = 0.0
    waiting.jump(-240.0).rest(3.0).jump(300.0).rest(3.0)
    assert asked(waiting) is None
    assert waiting.frames[-1].pour.water_g == grams(40.0)


def test_a_tare_with_the_brewer_off_makes_no_water_of_what_is_put_back(brew: Brew) -> None:
    brew.pour(5.0, 2.0).jump(-300.0).rest(2.0)
    assert asked(brew) is Question.LIFTED
    brew.key(Tare(brew.t_s)).rest(1.0).jump(300.0).rest(2.0)
    assert brew.frames[-1].pour.water_g == grams(10.0)
