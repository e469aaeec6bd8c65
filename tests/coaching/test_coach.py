"""A fast scale: words and flags are chosen as often as a settled flow comes, and lose nothing."""

from functools import cache
from itertools import pairwise

from pourcoach.coaching import coach as coach_module
from pourcoach.coaching.coach import Coach
from pourcoach.coaching.poured_brew import PouredBrew
from pourcoach.domain.advice import Word
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input, Mark, Silence
from pourcoach.domain.setup import Setup
from pourcoach.estimation.estimator import Estimator
from pourcoach.simulation.brew import SimulatedBrew
from pourcoach.simulation.scale.scale_model import ScaleModel
from tests.three_pours import PLAN

WHOLE_S = 120.0
"""Bloom, a pour and its wait, and the second pour."""


@cache
def _inputs(until_s: float) -> list[Input]:
    return [*SimulatedBrew(PLAN, "steady", 4, ScaleModel(rate_hz=80.0)).advance_to(until_s)]


def _frames(inputs: list[Input]) -> list[Frame]:
    estimator, coach = Estimator(), Coach(PLAN, Setup())
    return [coach.feed(one, estimator.feed(one)) for one in inputs]


@cache
def _scheduled() -> list[Frame]:
    """Those of the whole, as the coach chooses which readings to look at."""
    return _frames(_inputs(WHOLE_S))


def _stops_s(frames: list[Frame]) -> list[float]:
    stops = [one.cue.since_s for one in frames if one.cue.word is Word.STOP]
    return sorted(set(stops))


def test_each_reading_moves_the_weight(monkeypatch) -> None:
    looked_at: list[float] = []
    feed = PouredBrew.feed
    monkeypatch.setattr(
        PouredBrew, "feed", lambda *given: (looked_at.append(given[1].t_s), feed(*given))[1]
    )
    inputs = _inputs(20.0)
    frames = _frames(inputs)
    assert len(looked_at) < 0.4 * len(inputs)
    pouring = [one for one in frames if one.estimate.pouring and one.pour.stages]
    moved = [a.pour.water_g != b.pour.water_g for a, b in pairwise(pouring)]
    assert sum(moved) > 0.95 * len(moved)
    for frame in pouring:
        assert frame.pour.off_g is not None
        assert frame.pour.target_g is not None
        off_g = frame.pour.water_g - frame.pour.target_g
        assert abs(frame.pour.off_g - off_g) < 1e-9
        assert frame.pour.brew_start_s is not None
        assert frame.pour.brew_s is not None
        assert abs(frame.t_s - frame.pour.brew_start_s - frame.pour.brew_s) < 1e-9


def test_stop_comes_when_it_came_with_every_reading_looked_at(monkeypatch) -> None:
    scheduled = _stops_s(_scheduled())
    monkeypatch.setattr(coach_module, "EVERY_S", -1.0)
    always = _stops_s(_frames(_inputs(WHOLE_S)))
    assert len(scheduled) == len(always) >= 2
    for one, other in zip(scheduled, always, strict=True):
        assert abs(one - other) < 0.01


def test_every_word_comes_when_it_came_with_every_reading_looked_at(monkeypatch) -> None:
    def said(frames: list[Frame]) -> list[tuple[Word, float]]:
        cues = [frame.cue for frame in frames]
        return [(b.word, b.since_s) for a, b in pairwise(cues) if a.word is not b.word]

    scheduled = said(_scheduled())
    monkeypatch.setattr(coach_module, "EVERY_S", -1.0)
    monkeypatch.setattr(coach_module, "SELDOM_S", -1.0)
    always = said(_frames(_inputs(WHOLE_S)))
    assert [word for word, _ in scheduled] == [word for word, _ in always]
    assert len(scheduled) > 5
    for (_, one_s), (_, other_s) in zip(scheduled, always, strict=True):
        assert one_s - other_s < 0.06


def test_the_last_reading_before_a_silence_is_looked_at() -> None:
    inputs = _inputs(18.0)
    for last in range(len(inputs) - 5, len(inputs)):
        estimator, coach = Estimator(), Coach(PLAN, Setup())
        for one in inputs[:last]:
            coach.feed(one, estimator.feed(one))
        late_s = inputs[last - 1].t_s + 0.61
        silent = Silence(late_s)
        frame = coach.feed(silent, estimator.feed(silent))
        assert frame.cue.word is Word.SCALE
        assert abs(frame.cue.basis["silent_s"] - 0.61) < 1e-9


def test_the_first_reading_after_a_silence_is_looked_at(monkeypatch) -> None:
    """None was for half a second, and of the next the last before the silence was a second ago."""
    looked_at: list[Input] = []
    feed = PouredBrew.feed
    monkeypatch.setattr(
        PouredBrew, "feed", lambda *given: (looked_at.append(given[1]), feed(*given))[1]
    )
    before = [one for one in _inputs(30.0) if one.t_s < 2.0]
    after = [one for one in _inputs(30.0) if 2.52 < one.t_s < 3.0]
    _frames([*before, Silence(2.51), *after])
    assert after[0] in looked_at


def test_a_key_between_readings_is_taken_at_once() -> None:
    inputs = _inputs(14.0)
    estimator, coach = Estimator(), Coach(PLAN, Setup())
    for one in inputs:
        coach.feed(one, estimator.feed(one))
    mark = Mark(inputs[-1].t_s)
    assert [press.t_s for press in coach.feed(mark, estimator.feed(mark)).moments] == [mark.t_s]
