"""The server on the scale: guided by the clock, judged by the drip; and telling a mix-up."""

from collections.abc import Callable
from typing import Any

import pytest

from pourcoach.coaching.platform.arrangement import SlowRise, most_dripped_g
from pourcoach.domain.advice import FlagKind, Word
from pourcoach.domain.inputs import Begin, Finish, Undo
from pourcoach.domain.plan import Arrangement, Plan
from pourcoach.domain.pour import Ending, Phase
from pourcoach.domain.setup import Setup
from pourcoach.wording import cue_sentence

Brew = Any
NewBrew = Callable[..., Brew]
UNDER = Setup(arrangement=Arrangement.SERVER_ON_SCALE)


def drip(brew: Brew, gps: float, to_g: float) -> Brew:
    return brew.pour_to(to_g, gps)


@pytest.fixture
def under(plan: Plan, new_brew: NewBrew) -> Brew:
    """The clock started by the brewer at two seconds."""
    brew = new_brew(plan, UNDER)
    return brew.key(Begin(brew.t_s))


def test_the_clock_guides(under: Brew, words_of: Callable[..., list[str]]) -> None:
    drip(under.until(34), 1.8, 210).rest(20)
    assert words_of(under.frames) == [
        *("READY", "BLOOM", "WAIT", "POUR", "WAIT", "POUR", "DRAIN", "DONE"),
    ]


def test_the_end_is_when_the_drip_ends(under: Brew) -> None:
    drip(under.until(34), 1.8, 210)
    stopped_s = under.t_s
    under.rest(20)
    state = under.frames[-1].pour
    assert state.ending is Ending.RESTED
    assert state.end_s == pytest.approx(stopped_s, abs=3.5)
    assert under.kinds == []


def test_a_slow_drain_is_reported_while_it_drips_and_in_the_end(under: Brew) -> None:
    drip(under.until(34), 1.1, 212)
    assert under.kinds == [FlagKind.SLOW_DRAIN]
    assert not under.frames[-1].flags[0].refined
    under.rest(20)
    assert under.frames[-1].flags[0].refined


def test_a_pause_between_drips_is_not_the_end(under: Brew) -> None:
    drip(under.until(34), 1.8, 80).until(110)
    assert under.frames[-1].pour.phase is Phase.DRAINING


def test_a_drip_that_stopped_short_of_the_plan_closes_the_brew_in_the_end(under: Brew) -> None:
    drip(under.until(34), 1.8, 80)
    stopped_s = under.t_s
    under.until(stopped_s + 170)
    assert under.frames[-1].pour.phase is Phase.DRAINING
    under.until(stopped_s + 185)
    frame = under.frames[-1]
    assert frame.pour.ending is Ending.LEFT
    assert frame.pour.end_s == pytest.approx(stopped_s, abs=3.5)
    assert cue_sentence(frame).startswith("Closed, since nothing dripped for 3:00: ")


def test_lifting_the_server_after_the_pours_ends(under: Brew) -> None:
    drip(under.until(34), 1.8, 160).jump(-400.0).rest(6.0)
    assert under.frames[-1].pour.ending is Ending.LIFTED


def test_the_key_ends_and_undo_goes_on(under: Brew) -> None:
    under.until(40).key(Finish(under.t_s))
    assert under.frames[-1].cue.word is Word.DONE
    under.key(Undo(under.t_s))
    assert under.frames[-1].pour.phase is Phase.POURING


def test_without_the_key_the_clock_is_reckoned_back_from_the_drip(
    plan: Plan, new_brew: NewBrew
) -> None:
    """The bed keeps 30 g of the bloom's 40, which are in after 6 s."""
    brew = drip(new_brew(plan, UNDER).until(40), 1.5, 10)
    assert brew.frames[-1].pour.brew_start_s == pytest.approx(40.0 - 6.0, abs=1.5)


def test_a_server_set_down_starts_nothing(plan: Plan, new_brew: NewBrew) -> None:
    brew = new_brew(plan, UNDER).jump(350.0).rest(3.0)
    assert brew.frames[-1].pour.brew_start_s is None


@pytest.mark.parametrize("spoon_g", [12.0, 14.0])
def test_no_more_than_drips_at_once_starts_it(
    plan: Plan, new_brew: NewBrew, spoon_g: float
) -> None:
    brew = new_brew(plan, UNDER).jump(spoon_g).rest(3.0)
    assert brew.frames[-1].pour.brew_start_s is None


def test_the_pour_itself_is_not_judged(under: Brew) -> None:
    drip(under.until(34), 1.8, 90).rest(2.5)
    drip(under, 1.8, 210).rest(20)
    assert under.kinds == []
    assert under.frames[-1].pour.off_g is None


def test_more_than_can_have_dripped_is_a_mix_up(under: Brew) -> None:
    under.pour_to(40)
    assert under.frames[-1].pour.looks_like is Arrangement.BREWER_ON_SCALE


def test_a_long_slow_rise_is_a_mix_up_and_no_fault(brew: Brew) -> None:
    for _ in range(12):
        brew.pour(1.8, 2.0).pour(0.6, 2.0)
    assert brew.frames[-1].pour.looks_like is Arrangement.SERVER_ON_SCALE
    brew.close()
    assert brew.kinds == []


def test_a_brew_as_specified_is_no_mix_up(brew: Brew, under: Brew) -> None:
    brew.pour_to(40).until(32).pour_to(140).until(72).pour_to(240).rest(5)
    drip(under.until(34), 1.8, 210).rest(20)
    assert brew.frames[-1].pour.looks_like is None
    assert under.frames[-1].pour.looks_like is None


def test_nobody_is_five_seconds_ahead_of_the_plan_and_has_dripped_more(plan: Plan) -> None:
    """The bloom of 40 g and the first of the next pour, at 5 g/s, less what the bed keeps."""
    start_s = plan.stages[1].start_s
    kept_g = plan.dose_g
    assert most_dripped_g(plan, start_s - 5.0) == pytest.approx(40.0 - kept_g)
    assert most_dripped_g(plan, start_s - 1.0) == pytest.approx(40.0 + 4.0 * 5.0 - kept_g)


@pytest.mark.parametrize(("lasts_s", "seen"), [(17.0, False), (22.0, True)])
def test_a_rise_is_slow_once_it_has_been_for_twenty_seconds(lasts_s: float, seen: bool) -> None:
    rise = SlowRise(None)
    for step in range(round(10.0 * lasts_s)):
        rise.feed(step / 10.0, 1.5 * step / 10.0)
    assert rise.seen is seen
