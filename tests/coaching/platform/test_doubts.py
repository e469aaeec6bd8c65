"""What the platform leaves open in mid-brew is asked, and not decided."""

from dataclasses import replace

import pytest

from pourcoach.coaching.platform.doubts import Doubts
from pourcoach.coaching.platform.lifts import StandingLift
from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent, ScaleTraits
from pourcoach.domain.inputs import Begin, Tare
from pourcoach.domain.plan import Plan
from pourcoach.domain.pour import Phase, Pour, Question
from pourcoach.wording import cue_sentence, key_sentence
from tests.coaching.conftest import Brew, grams
from tests.coaching.planned_brew import NewBrew

BREWER_G = 300.0


@pytest.fixture
def waiting(brew: Brew) -> Brew:
    """The bloom is in, and the next pour is due in a while."""
    return brew.pour_to(40.0).rest(3.0)


def asked(brew: Brew) -> Question | None:
    frame = brew.frames[-1]
    assert (frame.cue.word is Word.SCALE) is (frame.pour.question is not None)
    return frame.pour.question


def test_a_gain_that_cannot_be_water_is_asked_about(waiting: Brew) -> None:
    waiting.jump(60.0).rest(1.0)
    frame = waiting.frames[-1]
    assert (asked(waiting), frame.cue.state) == (Question.GAIN, CueState.DUE)
    assert frame.pour.water_g == grams(40.0)
    assert cue_sentence(frame) == (
        "60 g came at once and are not counted. Was it water? Space counts it."
    )


def test_space_counts_it_as_water_of_the_stage_before(waiting: Brew) -> None:
    waiting.jump(60.0).rest(1.0)
    waiting.key(Begin(waiting.t_s)).rest(1.0)
    frame = waiting.frames[-1]
    assert asked(waiting) is None
    assert frame.pour.water_g == grams(100.0)
    (bloom,) = frame.pour.stages
    assert (bloom.end_g, bloom.pours[-1].unseen_g) == grams((100.0, 60.0))
    press = frame.key_press
    assert press is not None
    assert key_sentence(press, frame.pour.brew_start_s) == "Counted as water."


def test_a_hand_that_lets_go_takes_back_what_was_counted_as_water(waiting: Brew) -> None:
    waiting.jump(15.0).rest(3.0)
    waiting.key(Begin(waiting.t_s)).rest(0.5)
    assert waiting.frames[-1].pour.water_g == grams(55.0)
    waiting.jump(-15.0).rest(2.0)
    state = waiting.frames[-1].pour
    assert state.water_g == grams(40.0)
    assert [stage.end_g for stage in state.stages] == grams([40.0])


@pytest.mark.parametrize(("moved_s", "counted_g"), [(0.8, 20.0), (1.3, 0.0)])
def test_a_gain_that_hindsight_moves_a_little_stays_counted(
    moved_s: float, counted_g: float
) -> None:
    """Another event, that begins more than a second away, is not the one that was answered for."""
    placed = PlatformEvent(EventKind.PLACED, 20.0, 20.4, 20.0)
    now = Estimate(21.0, 60.0, 0.1, 0.0, 0.1, False, 0.0, None, None, (), ScaleTraits())
    doubts = Doubts()
    for t_s, events in ((19.0, ()), (21.0, (placed,))):
        doubts.feed(t_s, now._replace(events=events), (), 40.0, 4.0, running=False)
    assert doubts.count(22.0)
    moved = now._replace(events=(replace(placed, start_s=20.0 + moved_s),))
    doubts.feed(23.0, moved, (), 60.0, 4.0, running=False)
    assert doubts.counted_g == counted_g


def test_what_is_poured_after_it_stands_on_it(waiting: Brew) -> None:
    waiting.jump(60.0).rest(1.0)
    waiting.key(Begin(waiting.t_s)).until(32.0).pour(5.0, 10.0).rest(1.0)
    state = waiting.frames[-1].pour
    assert state.water_g == grams(150.0)
    pours = [pour for stage in state.stages for pour in stage.pours]
    assert [pour.start_g for pour in pours] == grams([0.0, 100.0])
    assert [pour.end_g for pour in pours] == grams([100.0, 150.0])


@pytest.mark.parametrize("answer", ["nothing", "pour on", "tare", "take it away"])
def test_unanswered_it_stays_what_it_was_taken_for(waiting: Brew, answer: str) -> None:
    waiting.jump(60.0).rest(1.0)
    assert asked(waiting) is Question.GAIN
    match answer:
        case "nothing":
            waiting.rest(16.0)
        case "pour on":
            waiting.pour(5.0, 2.0).rest(0.5)
        case "tare":
            waiting.key(Tare(waiting.t_s)).rest(0.5)
        case "take it away":
            waiting.jump(-60.0).rest(1.0)
    state = waiting.frames[-1].pour
    assert state.question is None
    assert state.water_g == grams(50.0 if answer == "pour on" else 40.0)


def test_while_water_runs_nothing_hides_stop(brew: Brew) -> None:
    brew.pour(5.0, 4.0).jump(60.0).pour(5.0, 2.0)
    assert asked(brew) is None
    brew.pour(5.0, 2.0).rest(1.0)
    assert asked(brew) is Question.GAIN


def test_a_tare_before_it_is_asked_about_answers_nothing(brew: Brew) -> None:
    brew.pour(5.0, 4.0).jump(60.0).pour(5.0, 2.0)
    brew.key(Tare(brew.t_s)).pour(5.0, 2.0).rest(1.0)
    assert asked(brew) is Question.GAIN


def test_space_begins_nothing_in_mid_brew_where_nothing_is_asked(waiting: Brew) -> None:
    waiting.key(Begin(waiting.t_s)).rest(1.0)
    assert waiting.frames[-1].pour.water_g == grams(40.0)


def test_as_much_as_was_poured_that_goes_at_once_is_no_water_any_more_and_is_asked_about(
    brew: Brew,
) -> None:
    """A hand that pressed and has let go, or a thing as heavy as the bloom that was taken away."""
    brew.pour_to(36.0, 9.0).rest(5.0).jump(-36.0).rest(3.0)
    frame = brew.frames[-1]
    assert asked(brew) is Question.LOST
    assert frame.pour.rise_g == grams(36.0)
    assert cue_sentence(frame) == (
        "The weight fell back by 36 g, which count no more. Was it water? Space counts it."
    )
    brew.key(Begin(brew.t_s)).rest(0.5)
    assert (asked(brew), brew.frames[-1].pour.water_g) == (None, grams(36.0))
    brew.until(32.0).pour(5.0, 20.0).rest(2.0)
    assert brew.frames[-1].pour.water_g == grams(136.0)


def test_a_large_loss_is_asked_about_however_sure_the_hand_seems(brew: Brew) -> None:
    """A thing of the weight of what was poured, taken away a moment after it."""
    brew.pour_to(40.0).until(32.0).pour(9.0, 5.0).rest(1.2).jump(-45.0).rest(3.0)
    frame = brew.frames[-1]
    assert frame.estimate.events[-1].probability > 0.99
    assert (asked(brew), frame.pour.rise_g) == (Question.LOST, grams(45.0))
    brew.key(Begin(brew.t_s)).rest(0.5)
    assert (asked(brew), brew.frames[-1].pour.water_g) == (None, grams(85.0))


@pytest.mark.parametrize(("poured_s", "left_g", "lost_g"), [(4.5, 2.0, 23.0), (3.5, 2.0, None)])
def test_water_that_is_taken_back_with_a_lift_of_nothing_is_asked_about(
    poured_s: float, left_g: float, lost_g: float | None
) -> None:
    """A thing that swung as it was taken away, until it looked like a hand that lets go."""
    poured = Pour(5.0, 0.0, 5.0 + poured_s, 25.0)
    rest = Estimate(20.0, 25.0, 0.1, 0.0, 0.1, False, 0.0, None, None, (poured,), ScaleTraits())
    event = PlatformEvent(EventKind.LIFTED, 21.0, 21.4, 0.0)
    after = rest._replace(pours=(replace(poured, end_g=left_g),), events=(event,))
    doubts = Doubts()
    doubts.feed(20.0, rest, (poured,), 25.0, 4.0, running=False)
    doubts.feed(22.0, after, (poured,), left_g, 4.0, running=False)
    assert (doubts.gain and doubts.gain.grams) == lost_g
    assert doubts.asks is (lost_g is not None)


@pytest.mark.parametrize("poured_s", [8.0, 20.0])
@pytest.mark.parametrize("rest_s", [1.2, 5.0])
def test_no_hand_lets_go_of_what_was_poured_for_long(
    brew: Brew, poured_s: float, rest_s: float
) -> None:
    brew.pour_to(40.0).until(32.0).pour(5.0, poured_s).rest(rest_s).jump(-5.0 * poured_s).rest(3.0)
    frame = brew.frames[-1]
    assert frame.estimate.events[-1].kind is EventKind.LIFTED
    assert frame.pour.water_g == grams(40.0 + 5.0 * poured_s)


@pytest.mark.parametrize("taken_g", [6.0, 12.0, 25.0])
@pytest.mark.parametrize("rest_s", [3.0, 8.0])
def test_a_thing_taken_away_takes_no_water_along(brew: Brew, taken_g: float, rest_s: float) -> None:
    brew.pour_to(40.0).rest(rest_s).jump(-taken_g).rest(3.0)
    assert brew.frames[-1].pour.water_g == grams(40.0)


def test_a_spoon_is_not_worth_a_question(waiting: Brew) -> None:
    waiting.jump(8.0).rest(1.0)
    assert asked(waiting) is None


def test_a_small_gain_just_as_water_begins_may_be_the_first_of_it(brew: Brew) -> None:
    """At once at 12 g/s: no hand begins so."""
    brew.pour_to(39.6, 12.0).rest(2.0)
    frame = brew.frames[-1]
    assert (asked(brew), frame.pour.rise_g) == (Question.GAIN, grams(3.6))
    brew.key(Begin(brew.t_s)).rest(0.5)
    assert (asked(brew), brew.frames[-1].pour.water_g) == (None, grams(39.6))


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
