from random import Random
from statistics import pstdev

import numpy as np
import pytest

from pourcoach.simulation.scale.noise import Noise


def drawn(white_g: float, flicker_g: float, count: int = 2**17) -> list[float]:
    noise = Noise(white_g, flicker_g, 1 / 80, Random(1))
    return [noise.step() for _ in range(count)]


def slope(values: list[float], low_hz: float, high_hz: float) -> float:
    """Of log power over log frequency."""
    blocks = np.array(values).reshape(32, -1)
    power = np.mean(np.abs(np.fft.rfft(blocks * np.hanning(blocks.shape[1]))) ** 2, axis=0)
    hz = np.fft.rfftfreq(blocks.shape[1], 1 / 80)
    band = (hz >= low_hz) & (hz <= high_hz)
    return float(np.polyfit(np.log(hz[band]), np.log(power[band]), 1)[0])


def test_white_noise_has_its_size_and_a_flat_spectrum() -> None:
    values = drawn(0.05, 0.0)
    assert pstdev(values) == pytest.approx(0.05, rel=0.01)
    assert slope(values, 0.2, 30) == pytest.approx(0, abs=0.05)


def test_flicker_has_its_size_and_falls_as_1_over_f() -> None:
    values = drawn(0.0, 0.05)
    assert pstdev(values) == pytest.approx(0.05, rel=0.1)
    assert slope(values, 0.1, 2.0) == pytest.approx(-1, abs=0.15)


def test_both_together_are_not_white() -> None:
    values = np.array(drawn(0.03, 0.03))
    lag_1 = np.corrcoef(values[:-1], values[1:])[0, 1]
    assert 0.3 < lag_1 < 0.7
