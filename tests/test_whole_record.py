"""A record in which something was in doubt is gone through again with what it has shown by its
end."""

from collections.abc import Sequence

import numpy as np
import pytest

from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest
from pourcoach.domain.advice import FlagKind
from pourcoach.domain.estimate import Estimate, EventKind
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input, Reading, Tare
from pourcoach.domain.pour import Phase, Question
from pourcoach.estimation.estimator import Estimator
from pourcoach.estimation.hindsight import Hindsight
from pourcoach.estimation.noise.traits import LearntTraits
from pourcoach.pipeline import Pipeline
from pourcoach.recordings.fold import frames
from pourcoach.recordings.tape import Tape, TapeHeader
from pourcoach.simulation.brew import SimulatedBrew
from tests.benchmarks.stream import cases

SLOW_HAND = 41_004_998
"""A brew in which one lies there for nine seconds."""
PLAN = work_out(PlanRequest(dose_g=10.0, ratio=15.0, bloom_multiple=3.0, pours=1)).plan
"""30 g of bloom and 150 g in all."""
BREWER_G = 389.0
END_S = 85.0


def weighed(
    rate_hz: float, hand_g: float, to_s: float, last_s: float = 68.0, set_down_g: float = 0.0
) -> list[Input]:
    """A brewer of 389 g, the tare that the scale is commanded while a hand presses on the platform
    up to a moment, and 30 g of water from 9 s, then 5 g/s from 44 s to ``last_s``.
    Something is set down beside it at 30 s."""
    times = np.arange(1, int(END_S * rate_hz)) / rate_hz
    hand = np.interp(times, [2.98, 3.03, to_s - 0.05, to_s], [0.0, hand_g, hand_g, 0.0])
    water = np.clip(times, 9.0, 15.0) - 9.0 + np.clip(times, 44.0, last_s) - 44.0
    stood_g = np.where(times > 3.0, BREWER_G + hand_g, 0.0)
    noise = 0.03 * np.random.default_rng(1).standard_normal(len(times))
    set_down = np.where(times > 30.0, set_down_g, 0.0)
    grams = np.round(BREWER_G + hand + 5.0 * water + set_down - stood_g + noise, 1)
    inputs: list[Input] = [Tare(2.9, by_scale=True)]
    inputs += [Reading(float(t), float(g)) for t, g in zip(times, grams, strict=True)]
    return sorted(inputs, key=lambda item: item.t_s)


def spiked() -> list[Input]:
    """A plan's water on a tared scale whose converter makes its first three spikes side by side
    after twelve seconds without any, and then one in twenty readings."""
    times = np.arange(1, int(END_S * 10.0)) / 10.0
    water = np.clip(times, 20.0, 26.0) - 20.0 + np.clip(times, 50.0, 74.0) - 50.0
    chance = np.random.default_rng(3)
    grams = 5.0 * water + 0.03 * chance.standard_normal(len(times))
    grams[120:123] += 40.0, 55.0, 48.0
    later = np.arange(len(times)) > 150
    grams += np.where(later & (chance.random(len(times)) < 0.05), 60.0, 0.0)
    return [Reading(float(t), float(round(g, 2))) for t, g in zip(times, grams, strict=True)]


def pressed(rate_hz: float, rise_s: float, hand_g: float, again_s: float = END_S) -> list[Input]:
    """The same water, and in the wait a hand that presses like water that runs, stays for eight
    seconds and lets go at once; from ``again_s`` on it may do so again."""
    lasts_s = END_S if again_s == END_S else again_s + rise_s + 20.0
    times = np.arange(1, int(lasts_s * rate_hz)) / rate_hz
    water = np.clip(times, 9.0, 15.0) - 9.0 + np.clip(times, 44.0, 68.0) - 44.0
    knots = np.cumsum([24.0, rise_s, 8.0, 0.05])
    hand = np.interp(times, knots, [0.0, hand_g, hand_g, 0.0])
    hand += np.interp(times, knots - 24.0 + again_s, [0.0, hand_g, hand_g, 0.0])
    noise = 0.03 * np.random.default_rng(1).standard_normal(len(times))
    grams = np.round(5.0 * water + hand + noise, 1)
    return [Reading(float(t), float(g)) for t, g in zip(times, grams, strict=True)]


def folded(inputs: Sequence[Input]) -> tuple[Frame, Pipeline]:
    """The newest live Frame, and the Pipeline that made it."""
    pipeline = Pipeline(PLAN)
    live = None
    for item in inputs:
        live = pipeline.feed(item)
    assert live is not None
    return live, pipeline


@pytest.mark.parametrize("hand_g", [5.0, 10.0, 25.0])
@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
def test_water_that_came_as_a_hand_let_go_after_a_tare_counts_from_where_it_began(
    rate_hz: float, hand_g: float
) -> None:
    live, pipeline = folded(weighed(rate_hz, hand_g, to_s=8.6))
    assert live.pour.water_g == pytest.approx(150.0, abs=0.2)
    last = pipeline.finish(END_S)
    assert last.pour.water_g == pytest.approx(150.0, abs=0.2)
    assert last.pour.stages[0].pours[0].start_g == pytest.approx(0.0, abs=0.2)
    assert last.pour.stages[-1].end_g == pytest.approx(150.0, abs=0.2)


@pytest.mark.parametrize("set_down_g", [0.0, 60.0])
def test_a_brew_that_never_began_had_begun_where_the_water_of_its_plan_came(
    set_down_g: float,
) -> None:
    live, pipeline = folded(weighed(10.0, 25.0, to_s=6.0, set_down_g=set_down_g))
    assert (live.pour.phase, live.pour.question) == (Phase.READY, Question.UNTARED_WATER)
    last = pipeline.finish(END_S)
    assert last.pour.question is None
    assert last.pour.water_g == pytest.approx(150.0, abs=0.2)
    assert [stage.stage for stage in last.pour.stages] == ["bloom", "pour 1"]
    assert last.pour.brew_start_s == pytest.approx(9.0, abs=0.2)


def test_less_than_the_water_of_the_plan_begins_no_brew() -> None:
    _, pipeline = folded(weighed(10.0, 25.0, to_s=6.0, last_s=64.0))
    last = pipeline.finish(END_S)
    assert last.pour.brew_start_s is None
    assert last.pour.stages == ()


@pytest.mark.parametrize("rate_hz", [10.0, 40.0])
@pytest.mark.parametrize(("rise_s", "hand_g"), [(2.0, 8.0), (2.0, 16.0), (3.5, 20.0)])
def test_what_rose_and_went_and_left_the_scale_as_it_was_is_no_water(
    rate_hz: float, rise_s: float, hand_g: float
) -> None:
    _, pipeline = folded(pressed(rate_hz, rise_s, hand_g))
    last = pipeline.finish(END_S)
    assert last.pour.water_g == pytest.approx(150.0, abs=0.2)
    assert len(last.estimate.pours) == 2
    (hand,) = last.estimate.events
    assert hand.kind is EventKind.LEAN
    assert hand.end_s == pytest.approx(32.0 + rise_s, abs=0.4)
    (touch,) = (flag for flag in last.flags if flag.kind is FlagKind.DISTURBED)
    assert 24.0 - 0.8 < touch.start_s < 32.0 + rise_s + 0.8 < touch.end_s + 0.8


def test_what_shows_only_once_something_else_is_known_is_known_too(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where the first time shows one of two hands, and the second time the other."""
    shown = [((23.0, 35.0),), ((71.0, 83.0),)]

    def hindsight(estimator: Estimator, _: Estimate) -> Hindsight | None:
        if not shown:
            return None
        return Hindsight(LearntTraits(estimator._traits), 0.0, (), shown.pop(0))

    monkeypatch.setattr(Estimator, "hindsight", hindsight)
    inputs = pressed(10.0, 2.0, 16.0, again_s=72.0)
    last = folded(inputs)[1].finish(inputs[-1].t_s)
    hands = [(event.start_s, event.end_s) for event in last.estimate.events]
    assert hands == [pytest.approx(hand, abs=0.2) for hand in ((23.0, 35.0), (71.0, 83.0))]
    assert last.pour.water_g == pytest.approx(150.0, abs=0.2)


def test_what_was_poured_for_long_stays_though_as_much_goes_at_once() -> None:
    live, pipeline = folded(pressed(10.0, 11.0, 36.0))
    assert live.pour.water_g == pytest.approx(186.0, abs=0.2)
    assert pipeline.finish(END_S).pour.water_g == live.pour.water_g


def test_a_touch_is_taken_back_where_spikes_show_later() -> None:
    live, pipeline = folded(spiked())
    kinds = [event.kind for event in live.estimate.events]
    assert kinds[0] is EventKind.KNOCK
    last = pipeline.finish(END_S)
    assert {event.kind for event in last.estimate.events} == {EventKind.SPIKE}
    assert len(last.estimate.events) == len(kinds)
    assert last.pour.water_g == pytest.approx(150.0, abs=0.2)


def test_a_record_gone_through_again_is_the_same_from_a_tape_and_in_slices() -> None:
    inputs = spiked()
    _, pipeline = folded(inputs)
    last = pipeline.finish(END_S)
    *_, from_tape = frames(Tape(TapeHeader(PLAN), tuple(inputs), end_s=END_S))
    assert from_tape == last
    _, sliced = folded(inputs)
    finishing, slices, found = sliced.finishing(END_S), 0, None
    while found is None:
        try:
            next(finishing)
            slices += 1
        except StopIteration as done:
            found = done.value
    assert found == last
    assert slices > len(inputs) / 5, "no more than some milliseconds' work in each"


@pytest.mark.parametrize("doubtful", [False, True])
def test_where_nothing_was_in_doubt_no_input_is_estimated_twice(
    doubtful: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    inputs = spiked() if doubtful else weighed(10.0, 0.0, to_s=3.5)
    fed, feed = [], Estimator.feed

    def counted(estimator: Estimator, item: Input) -> Estimate:
        fed.append(item)
        return feed(estimator, item)

    monkeypatch.setattr(Estimator, "feed", counted)
    _, pipeline = folded(inputs)
    pipeline.finish(END_S)
    assert len(fed) == len(inputs) * (2 if doubtful else 1)


def test_a_record_that_is_too_long_keeps_what_was_found_live(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("pourcoach.estimation.kept_inputs.LONGEST_S", 60.0)
    live, pipeline = folded(spiked())
    assert pipeline.finish(END_S).estimate.events == live.estimate.events


def test_what_the_brewer_has_answered_stands(monkeypatch: pytest.MonkeyPatch) -> None:
    """A second time that asks something else must not take the answer's place."""
    inputs = spiked()
    live, pipeline = folded(inputs)
    monkeypatch.setattr(pipeline._coach, "answers", 1)
    assert pipeline.finish(END_S).estimate.events == live.estimate.events


def test_a_path_that_is_less_certain_is_not_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where nothing but the scale's noise and spikes is known better the second time."""
    live, pipeline = folded(spiked())
    monkeypatch.setattr("pourcoach.pipeline.is_doubtful", lambda again, before: True)
    assert pipeline.finish(END_S).estimate.events == live.estimate.events


@pytest.mark.parametrize("first_decides", [True, False])
def test_what_only_a_less_certain_second_time_shows_decides_nothing(
    first_decides: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A knock in a pour was a hand the second time, and the third time was sure of it."""
    shown = [((23.0, 35.0),)]
    if not first_decides:
        shown.insert(0, ())

    def hindsight(estimator: Estimator, _: Estimate) -> Hindsight | None:
        if not shown:
            return None
        return Hindsight(LearntTraits(estimator._traits), 0.0, (), shown.pop(0))

    monkeypatch.setattr(Estimator, "hindsight", hindsight)
    monkeypatch.setattr("pourcoach.pipeline.is_doubtful", lambda again, before: True)
    live, pipeline = folded(pressed(10.0, 2.0, 16.0))
    last = pipeline.finish(END_S)
    assert (last.estimate.events == live.estimate.events) is not first_decides


def test_a_hand_that_lies_down_slowly_and_leaves_nothing_behind_is_no_thing_lifted() -> None:
    """Six grams in as many seconds are as much water as a hand; a thing that is then lifted seldom
    weighs as much to a tenth of a gram."""
    case = cases.pressed(SLOW_HAND)
    brew = SimulatedBrew(case.plan, case.hand, case.seed, case.scale, faults=case.faults)
    pipeline = Pipeline(case.plan)
    for item in brew.run():
        pipeline.feed(item)
    last = pipeline.finish(item.t_s).estimate
    assert len(last.pours) == len(brew.truth.pours)
    assert EventKind.LIFTED not in {event.kind for event in last.events}
