"""The exponential of one person's errors, and Student's t."""

import math
from random import Random

import pytest

from pourcoach.practice.progress.learning_curve import LEAST_POURS, learning_curve


def test_a_curve_without_noise_is_found() -> None:
    errors = [4.0 + 12.0 * math.exp(-0.25 * n) for n in range(30)]
    found = learning_curve(errors)
    assert found is not None
    assert found.level == pytest.approx(4.0, abs=0.1)
    assert found.gain == pytest.approx(12.0, abs=0.2)
    assert found.rate == pytest.approx(0.25, rel=0.05)
    assert found.at(0) == pytest.approx(16.0, abs=0.2)


def test_the_interval_holds_the_level_about_as_often_as_it_says() -> None:
    held = 0
    for seed in range(80):
        chance = Random(seed)
        errors = [5.0 + 10.0 * math.exp(-0.3 * n) + chance.gauss(0, 1.5) for n in range(30)]
        found = learning_curve(errors)
        assert found is not None
        low, high = found.level_interval
        held += low <= 5.0 <= high
    # 80 draws of 0.95: standard deviation 2.
    assert held >= 70


def test_errors_that_do_not_fall_are_a_level() -> None:
    found = learning_curve([5.0, 6.0] * 8)
    assert found is not None
    assert found.level == pytest.approx(5.5, abs=0.5)
    assert found.gain >= 0.0
    rising = learning_curve([float(n) for n in range(12)])
    assert rising is not None
    assert rising.gain == 0.0


def test_with_few_pours_there_is_none() -> None:
    assert learning_curve([3.0] * (LEAST_POURS - 1)) is None
