"""A stop is forecast from all readings of the pour so far: the noise of one hardly moves it."""

from random import Random
from statistics import fmean, pstdev

import pytest

from pourcoach.coaching.cues.stop_forecast import StopForecast
from pourcoach.domain.inputs import Reading
from pourcoach.domain.plan import Plan, Stage
from pourcoach.domain.setup import Setup
from pourcoach.pipeline import Pipeline

FULL_S, NOISE_S, EVERY_S = 8.0, 0.01, 0.1
STEADY, UNSTEADY = 0.05, 0.3


def noisy_forecasts(wander: float, seed: int) -> list[float]:
    """Of a mark that is reached at FULL_S, each wrong by the noise of one reading."""
    forecast, noise = StopForecast(), Random(seed)
    return [
        forecast.feed(nth * EVERY_S, 40.0, FULL_S + noise.gauss(0.0, NOISE_S), NOISE_S, wander)
        for nth in range(30)
    ]


def test_noise_is_averaged_out() -> None:
    newest = [noisy_forecasts(STEADY, seed)[-1] for seed in range(40)]
    assert fmean(newest) == pytest.approx(FULL_S, abs=NOISE_S / 3)
    assert pstdev(newest) < 0.7 * NOISE_S


def test_an_unsteady_pour_follows_the_newest_forecast() -> None:
    nearer = []
    for wander in (STEADY, UNSTEADY):
        forecast = StopForecast()
        for nth in range(10):
            forecast.feed(nth * EVERY_S, 40.0, FULL_S, NOISE_S, wander)
        nearer.append(forecast.feed(1.0, 40.0, FULL_S + 0.03, NOISE_S, wander) - FULL_S)
    steady_s, unsteady_s = nearer
    assert steady_s < 0.02 < unsteady_s < 0.03


def test_a_forecast_far_off_begins_anew() -> None:
    forecast = StopForecast()
    for nth in range(10):
        forecast.feed(nth * EVERY_S, 40.0, FULL_S, NOISE_S, STEADY)
    assert forecast.feed(1.0, 40.0, FULL_S - 1.0, NOISE_S, STEADY) == FULL_S - 1.0


def test_another_mark_begins_anew() -> None:
    forecast = StopForecast()
    forecast.feed(0.0, 40.0, FULL_S, NOISE_S, STEADY)
    assert forecast.feed(0.1, 45.0, FULL_S + 0.01, NOISE_S, STEADY) == FULL_S + 0.01


def test_what_is_known_already_adds_nothing() -> None:
    forecast = StopForecast()
    forecast.feed(0.0, 40.0, FULL_S, NOISE_S, STEADY)
    first = forecast.feed(0.1, 40.0, FULL_S + 0.01, NOISE_S, STEADY)
    assert FULL_S < first < FULL_S + 0.01
    assert forecast.feed(0.1, 40.0, FULL_S + 0.01, NOISE_S, STEADY) == first


def test_readings_without_noise_are_no_trouble() -> None:
    forecast = StopForecast()
    for nth in range(5):
        assert forecast.feed(nth * EVERY_S, 40.0, FULL_S, 0.0, 0.0) == FULL_S


def test_a_reading_shortly_before_stop_moves_it_by_less_than_its_noise() -> None:
    flow_gps, noise_g, first_s = 5.0, 0.05, 2.0
    plan = Plan(20.0, 2.0, 40.0, 0.0, 60.0, (Stage("pour 1", 0.0, 40.0, flow_gps),))
    moved: list[float] = []
    for seed in range(20):
        pipeline, noise, before_s = Pipeline(plan, Setup()), Random(seed), None
        for nth in range(95):
            t_s = nth * EVERY_S
            grams = flow_gps * max(0.0, t_s - first_s) + noise.gauss(0.0, noise_g)
            due_s = pipeline.feed(Reading(t_s, round(grams, 2))).cue.stop_due_s
            if due_s is not None and before_s is not None and due_s - t_s < 0.3:
                moved.append(due_s - before_s)
            before_s = due_s
    assert len(moved) > 30
    assert pstdev(moved) < noise_g / flow_gps


def test_how_far_one_forecast_moves_the_moment() -> None:
    """A stream keeps a flow of its own for 0.1 s: (0.2² x 0.1 s x 0.1 s + 0.1²) before 0.1²."""
    forecast = StopForecast()
    forecast.feed(0.0, 40.0, 8.0, 0.1, 0.2)
    moved_s = forecast.feed(0.1, 40.0, 8.1, 0.1, 0.2) - 8.0
    assert moved_s == pytest.approx(0.1 * 0.0104 / 0.0204, abs=2e-5)
