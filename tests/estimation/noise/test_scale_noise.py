"""Noise at rest, parted into what fades and what does not."""

import pytest

from pourcoach.estimation.noise.scale_noise import ScaleNoise


def test_white_and_fading_noise_are_all_of_it():
    noise = ScaleNoise(0.04, correlation=0.5, step_g=0.1)
    assert noise.white_var == pytest.approx(0.01 / 12.0)
    assert noise.white_var + noise.fading_var == pytest.approx(0.04)


def test_what_a_coarse_step_hides_is_not_taken_to_fade():
    """Where rest shows no spread, its colour is that of rounding and says nothing."""
    noise = ScaleNoise(0.0001, correlation=0.75, step_g=0.5)
    assert noise.fading_var == 0.0
    assert noise.white_var == pytest.approx(0.25 / 12.0 + 0.25 / 16.0)
