"""What the platform leaves open in mid-brew is asked, and not decided."""

from dataclasses import replace

import pytest

from pourcoach.coaching.platform.doubts import Doubts
from pourcoach.domain.advice import CueState, Word
from pourcoach.domain.estimate import Estimate, EventKind, PlatformEvent, ScaleTraits
from pourcoach.domain.inputs import Begin, Tare
from pourcoach.domain.pour import Pour, Question
from pourcoach.wording import cue_sentence, key_sentence
from tests.coaching.asked import asked
from tests.coaching.conftest import Brew, grams


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


def gain_in(*events: PlatformEvent, pour_s: float | None = None) -> float | None:
    """How much is in doubt after these events, water running since ``pour_s``."""
    pours = () if pour_s is None else (Pour(pour_s, 40.0),)
    now = Estimate(22.0, 40.0, 0.1, 0.0, 0.1, False, 0.0, None, None, pours, ScaleTraits())
    doubts = Doubts()
    doubts.feed(22.0, now._replace(events=events), (), 40.0, 4.0, running=False)
    return None if doubts.gain is None else doubts.gain.grams


@pytest.mark.parametrize(("lost_g", "asked"), [(4.5, False), (5.5, True)])
def test_a_loss_that_changes_no_cup_is_not_asked_about(lost_g: float, asked: bool) -> None:
    lean = PlatformEvent(EventKind.LEAN, 20.0, 21.0, -lost_g, probability=0.9)
    assert (gain_in(lean) is not None) is asked


@pytest.mark.parametrize(
    ("gained_g", "pour_s", "asked"),
    [(2.8, 20.2, False), (3.2, 20.2, True), (3.2, 20.45, True), (3.2, 20.55, False)],
)
def test_a_small_gain_is_asked_about_only_as_water_begins(
    gained_g: float, pour_s: float, asked: bool
) -> None:
    placed = PlatformEvent(EventKind.PLACED, 20.0, 20.1, gained_g)
    assert (gain_in(placed, pour_s=pour_s) is not None) is asked


@pytest.mark.parametrize(("filled_g", "asked"), [(0.9, False), (1.1, True)])
def test_drops_that_a_brewer_brings_back_are_not_asked_about(filled_g: float, asked: bool) -> None:
    lifted = PlatformEvent(EventKind.LIFTED, 18.0, 18.4, -300.0, probability=0.99)
    back = PlatformEvent(EventKind.RETURNED, 20.0, 20.4, 300.0 + filled_g, probability=0.99)
    assert (gain_in(lifted, back) is not None) is asked


@pytest.mark.parametrize(("poured_g", "asked"), [(4.8, True), (5.2, False)])
def test_a_few_drops_are_no_answer(poured_g: float, asked: bool) -> None:
    placed = PlatformEvent(EventKind.PLACED, 20.0, 20.4, 60.0)
    now = Estimate(21.0, 60.0, 0.1, 0.0, 0.1, False, 0.0, None, None, (), ScaleTraits())
    doubts = Doubts()
    for t_s, water_g in ((21.0, 40.0), (24.0, 40.0 + poured_g)):
        doubts.feed(t_s, now._replace(events=(placed,)), (), water_g, 4.0, running=False)
    assert doubts.asks is asked


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


def test_stop_that_was_said_to_a_hand_is_not_said_to_the_water_that_follows(brew: Brew) -> None:
    """It stood from the first drop of the bloom to the last."""
    brew.pour_to(39.0, 9.0)
    assert brew.frames[-1].cue.word is Word.STOP
    brew.rest(4.0).jump(-39.0).rest(3.0)
    assert asked(brew) is Question.LOST
    brew.until(32.0).pour(5.0, 4.0)
    assert brew.frames[-1].cue.word is Word.BLOOM


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
