"""A hand that presses before the first water and lets go between two readings, or the scale's own
tare after a short pour: the readings hardly distinguish them."""

from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from pourcoach.coaching.platform.doubts import Doubts
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.frame import Frame
from pourcoach.domain.inputs import Input, Reading, Tare
from pourcoach.domain.pour import Phase, Pour, Question, StagePour
from pourcoach.estimation.estimator import Estimator
from pourcoach.pipeline import Pipeline, load_hindsight
from pourcoach.wording.cues import cue_sentence

Curve = NDArray[np.float64]

BEGINS_S = 5.0


def _swell(share: Curve) -> Curve:
    """From 0 to 1 by half a wave of a cosine."""
    return 0.5 - 0.5 * np.cos(np.pi * np.clip(share, 0.0, 1.0))


def _times(rate_hz: float, phase: float, until_s: float) -> Curve:
    return np.arange(phase / rate_hz, until_s, 1.0 / rate_hz)


def _readings(times_s: Curve, weights_g: Curve) -> list[Reading]:
    noisy = weights_g + 0.07 * np.random.default_rng(1).standard_normal(len(times_s))
    return [
        Reading(round(float(t_s), 4), round(float(weight_g), 2))
        for t_s, weight_g in zip(times_s, noisy, strict=True)
    ]


def pressed(
    rate_hz: float, size_g: float, lasts_s: tuple[float, float, float], phase: float
) -> list[Reading]:
    """A hand presses harder and harder, holds still and lets go, for so long each; then the scale
    rests for 20 s. ``phase``: when the first reading comes, as a share of the time between two."""
    up_s, hold_s, down_s = lasts_s
    end_s = BEGINS_S + up_s + hold_s + down_s
    times_s = _times(rate_hz, phase, end_s + 20.0)
    share = _swell((times_s - BEGINS_S) / up_s) * _swell((end_s - times_s) / down_s)
    return _readings(times_s, size_g * share)


def poured_and_tared(rate_hz: float, size_g: float, flow_gps: float) -> list[Reading]:
    """As much water, and the scale's own tare 2 s after it."""
    end_s = BEGINS_S + size_g / flow_gps
    times_s = _times(rate_hz, 0.0, end_s + 10.0)
    weights_g = flow_gps * np.clip(times_s - BEGINS_S, 0.0, end_s - BEGINS_S)
    return _readings(times_s, np.where(times_s < end_s + 2.0, weights_g, 0.0))


def followed(inputs: Sequence[Input]) -> list[Frame]:
    """One Frame each, and the last."""
    load_hindsight()
    pipeline = Pipeline(None)
    frames = [pipeline.feed(item) for item in inputs]
    return [*frames, pipeline.finish(inputs[-1].t_s)]


def questions(frames: Sequence[Frame]) -> set[Question]:
    return {frame.pour.question for frame in frames if frame.pour.question is not None}


@pytest.mark.parametrize(
    ("rate_hz", "size_g", "lasts_s", "phase"),
    [
        (5.0, 6.0, (1.4, 0.8, 0.15), 0.0),
        (5.0, 10.0, (2.0, 0.8, 0.15), 0.0),
        (7.0, 10.0, (2.0, 1.5, 0.1), 0.5),
        (60.0, 13.0, (2.0, 1.5, 0.1), 0.0),
    ],
)
def test_little_that_comes_and_goes_at_once_is_a_hand_and_is_asked_about(
    rate_hz: float, size_g: float, lasts_s: tuple[float, float, float], phase: float
) -> None:
    """Told as water before, and nobody was asked."""
    frames = followed(pressed(rate_hz, size_g, lasts_s, phase))
    last = frames[-1]
    assert questions(frames) == {Question.LOST}
    assert last.pour.water_g == pytest.approx(0.0, abs=0.5)
    assert not last.pour.stages


@pytest.mark.parametrize("rate_hz", [5.0, 7.0, 10.0, 60.0])
@pytest.mark.parametrize(("size_g", "flow_gps"), [(30.0, 6.0), (40.0, 8.0)])
def test_a_short_bloom_that_the_scale_tares_away_stays(
    rate_hz: float, size_g: float, flow_gps: float
) -> None:
    last = followed(poured_and_tared(rate_hz, size_g, flow_gps))[-1]
    assert {event.kind for event in last.estimate.events} == {EventKind.SCALE_TARE}
    assert last.pour.water_g == pytest.approx(size_g, abs=0.5)


@pytest.mark.parametrize("size_g", [20.0, 35.0])
def test_as_much_as_a_bloom_is_counted_with_an_error_and_asked_about(size_g: float) -> None:
    """A hand holds still for a moment, and no reading shows how it lets go."""
    readings = pressed(5.0, size_g, (3.0, 0.8, 0.15), 0.0)
    frames = followed(readings)
    last = frames[-1]
    assert questions(frames) == {Question.HAND}
    assert last.pour.water_g == pytest.approx(size_g, abs=0.5)
    (stage,) = last.pour.stages
    assert stage.mass_error_g is not None
    assert stage.mass_g is not None
    assert stage.mass_g < 5.0 * stage.mass_error_g
    assert not any(frame.pour.question for frame in frames if frame.t_s > 8.95 + 15.5)
    (touch,) = (flag for flag in last.flags if "pressed_g" in flag.evidence)
    assert touch.evidence["pressed_g"] == pytest.approx(size_g, abs=0.5)

    asked = next(frame for frame in frames if frame.pour.question is Question.HAND)
    assert cue_sentence(asked).endswith(
        "g came in and went at once. A hand? Press t. Water? Go on."
    )
    answered = [reading for reading in readings if reading.t_s <= asked.t_s]
    later = [reading for reading in readings if reading.t_s > asked.t_s]
    last = followed([*answered, Tare(asked.t_s), *later])[-2]
    assert (last.pour.question, last.pour.phase) == (None, Phase.READY)
    assert last.pour.water_g == pytest.approx(0.0, abs=0.5)


@pytest.mark.parametrize(
    ("probability", "went_g", "lasts_s", "later_s", "asked"),
    [
        (0.98, 20.0, 5.4, 14.5, True),
        (0.995, 20.0, 5.4, 14.5, False),
        (0.98, 21.9, 5.4, 14.5, True),
        (0.98, 22.1, 5.4, 14.5, False),
        (0.98, 20.0, 5.6, 14.5, False),
        (0.98, 20.0, 5.4, 15.5, False),
    ],
)
def test_it_is_asked_about_if_it_came_and_went_like_a_hand(
    probability: float, went_g: float, lasts_s: float, later_s: float, asked: bool
) -> None:
    """Not where the tare is sure, where another weight went, where it came for longer than a hand
    presses, or after a quarter of a minute."""
    event = PlatformEvent(EventKind.SCALE_TARE, 10.0, 10.2, -went_g, probability=probability)
    estimate = Estimator().feed(Reading(0.0, 0.0))._replace(events=(event,))
    bloom = Pour(10.0 - lasts_s, 0.0, 10.0, 20.0, mass_error_g=0.1)
    doubts = Doubts()
    doubts.feed(10.5, estimate, (bloom,), 20.0, 1.0, running=False)
    stages = (StagePour("bloom", (bloom,)),)
    assert doubts.may_be_a_hand(stages, 10.0 + later_s) is asked
    (doubted,) = doubts.with_doubt([bloom])
    assert doubted.mass_error_g is not None
    assert (doubted.mass_error_g > 1.0) is (asked or later_s > 15.0)
