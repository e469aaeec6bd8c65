"""A hand presses on the scale while the scale, commanded to, tares itself."""

import numpy as np
import pytest

from pourcoach.domain.estimate import EventKind
from pourcoach.domain.inputs import Reading, Tare
from pourcoach.pipeline import Pipeline
from tests.estimation.platform.handled import push
from tests.estimation.platform.press_log import presses

STANDS_G = 339.0


@pytest.mark.parametrize(
    ("grams", "hold_s", "up_s"),
    [(6.0, 0.4, 0.3), (8.0, 0.6, 0.3), (12.0, 0.4, 0.3), (15.0, 0.4, 0.4)],
)
def test_the_zero_of_the_brew_is_where_the_hand_has_let_go(
    grams: float, hold_s: float, up_s: float
) -> None:
    times = np.arange(0.1, 24.0, 0.1)
    poured = 5.0 * (np.clip(times, 5.4, 21.4) - 5.4)
    press = presses(3.0, up_s, hold_s, 0.35, grams)(times)
    noise = 0.04 * np.random.default_rng(2).standard_normal(len(times))
    pipeline, zero_g, before_g = Pipeline(None), 0.0, 0.0
    for t_s, stands_g in zip(times.round(4), STANDS_G + poured + press + noise, strict=True):
        if t_s == 2.9:
            pipeline.feed(Tare(2.85, by_scale=True))
        elif t_s == 3.2:
            zero_g = before_g
        before_g = float(stands_g)
        pipeline.feed(Reading(float(t_s), round(float(stands_g) - zero_g, 1)))
    last = pipeline.finish(24.0).pour
    assert last.brew_start_s == pytest.approx(5.4, abs=0.4)
    assert last.water_g == pytest.approx(80.0, abs=3.0)


def test_a_scale_carries_a_commanded_tare_out_once() -> None:
    """The hand goes on pressing, fast enough to look like one tare after another."""
    times = np.arange(1, 640) / 80.0
    press = presses(3.0, 1.2, 1.5, 0.4, 24.0)(times)
    noise = 0.04 * np.random.default_rng(3).standard_normal(len(times))
    pipeline, zero_g = Pipeline(None), 0.0
    for t_s, stands_g in zip(times.round(4), STANDS_G + press + noise, strict=True):
        if t_s == 3.175:
            pipeline.feed(Tare(3.174, by_scale=True))
        elif t_s == 3.35:
            zero_g = float(stands_g)
        frame = pipeline.feed(Reading(float(t_s), round(float(stands_g) - zero_g, 1)))
    tares = [one for one in frame.estimate.events if one.kind is EventKind.SCALE_TARE]
    assert len(tares) == 1
    assert frame.estimate.mass_g == pytest.approx(STANDS_G - zero_g, abs=1.5)


@pytest.mark.parametrize(("grams", "up_s", "hold_s"), [(33.0, 0.9, 0.6), (15.0, 0.5, 1.0)])
def test_a_scale_that_tares_itself_under_a_moving_hand_has_not_lost_its_load(
    grams: float, up_s: float, hold_s: float
) -> None:
    times = np.arange(1, 160) / 20.0
    press = presses(3.0, up_s, hold_s, 0.45, grams)(times)
    noise = 0.1 * np.random.default_rng(3).standard_normal(len(times))
    pipeline, zero_g = Pipeline(None), 0.0
    for t_s, stands_g in zip(times.round(4), STANDS_G + press + noise, strict=True):
        if t_s == 2.9:
            pipeline.feed(Tare(2.899, by_scale=True))
        elif t_s == 3.3:
            zero_g = float(stands_g)
        frame = pipeline.feed(Reading(float(t_s), round(float(stands_g) - zero_g, 1)))
    assert EventKind.SCALE_TARE in [one.kind for one in frame.estimate.events]
    assert frame.estimate.mass_g == pytest.approx(STANDS_G - zero_g, abs=1.5)


@pytest.mark.parametrize(
    ("rate_hz", "hand", "tared_s"),
    [
        (10, (0.45, 1.7, 0.5, 29.0), 3.3),
        (10, (1.2, 0.5, 0.5, 25.0), 3.5),
        (20, (0.8, 2.5, 0.4, 35.0), 3.5),
        (80, (0.45, 1.7, 0.5, 29.0), 3.2),
        (80, (0.8, 2.5, 0.4, 35.0), 3.5),
    ],
)
def test_a_zero_from_before_the_hand_had_come_takes_no_water(
    rate_hz: int, hand: tuple[float, float, float, float], tared_s: float
) -> None:
    """The scale takes the median of the last fifth of a second for its zero, and the hand grows
    meanwhile: once it is gone the figure is below zero, by less than it showed last."""
    times = np.arange(1, 20 * rate_hz) / rate_hz
    poured = 5.0 * (np.clip(times, 8.2, 14.2) - 8.2)
    noise = 0.04 * np.random.default_rng(2).standard_normal(len(times))
    weights = STANDS_G + poured + push(3.0, *hand)(times) + noise
    tared = int(np.searchsorted(times, tared_s))
    zero_g = float(np.median(weights[tared - rate_hz // 5 : tared]))
    commanded = int(np.searchsorted(times, tared_s - 0.15))
    pipeline = Pipeline(None)
    for place, (t_s, stands_g) in enumerate(zip(times.round(4), weights, strict=True)):
        if place == commanded:
            pipeline.feed(Tare(float(t_s), by_scale=True))
        shown_g = stands_g - zero_g if place >= tared else stands_g
        pipeline.feed(Reading(float(t_s), round(float(shown_g), 1)))
    last = pipeline.finish(20.0)
    assert [pour.start_s for pour in last.estimate.pours] == [pytest.approx(8.2, abs=0.3)]
    assert last.pour.water_g == pytest.approx(30.0, abs=1.0)
    assert EventKind.LIFTED not in {event.kind for event in last.estimate.events}
