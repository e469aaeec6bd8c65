"""Rate, noise and gaps estimated from readings with known ones."""

import random

import pytest

from pourcoach.domain.inputs import Reading
from pourcoach.scales.watch import WINDOW_S, ScaleWatch


def test_nothing_can_be_said_of_nothing() -> None:
    assert ScaleWatch().behaviour() is None


def test_one_reading_gives_only_its_weight() -> None:
    watch = ScaleWatch()
    watch.feed(Reading(1.0, 5.0))
    behaviour = watch.behaviour()
    assert behaviour is not None
    assert (behaviour.grams, behaviour.rate_hz, behaviour.noise_g) == (5.0, None, None)


def test_rate_noise_and_gap() -> None:
    watch, noise = ScaleWatch(), random.Random(7)
    for n in range(800):
        watch.feed(Reading(n / 80 + (0.5 if n >= 700 else 0.0), 100 + noise.gauss(0, 0.05)))
    behaviour = watch.behaviour()
    assert behaviour is not None
    assert behaviour.rate_hz == pytest.approx(80 * (WINDOW_S - 0.5) / WINDOW_S, rel=0.02)
    assert behaviour.noise_g == pytest.approx(0.05, rel=0.15)
    assert behaviour.longest_gap_s == pytest.approx(0.5 + 1 / 80, abs=0.001)


def test_a_lone_knock_is_no_noise() -> None:
    watch = ScaleWatch()
    for n in range(100):
        watch.feed(Reading(n / 80, 900.0 if n == 50 else 100.0))
    behaviour = watch.behaviour()
    assert behaviour is not None
    assert behaviour.noise_g == 0.0
