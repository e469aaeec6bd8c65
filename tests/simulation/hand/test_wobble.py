import math
from itertools import pairwise
from random import Random
from statistics import fmean, pvariance

import pytest

from pourcoach.simulation.hand.wobble import WobbleKind, wobble

STEP_S = 0.02


def wander(kind: WobbleKind, seconds: float, seed: int = 1, hz: float = 0.6) -> list[float]:
    source = wobble(kind, hz, 0.32, STEP_S, Random(seed))
    return [source.step() for _ in range(round(seconds / STEP_S))]


@pytest.mark.parametrize("kind", WobbleKind)
def test_mean_is_0_and_variance_1(kind: WobbleKind) -> None:
    values = wander(kind, 6000)
    assert fmean(values) == pytest.approx(0, abs=0.05)
    assert pvariance(values) == pytest.approx(1, rel=0.06)


@pytest.mark.parametrize("kind", WobbleKind)
def test_it_is_so_from_its_first_moment(kind: WobbleKind) -> None:
    firsts = [wander(kind, 0.1, seed)[0] for seed in range(3000)]
    assert pvariance(firsts) == pytest.approx(1, rel=0.1)


def test_the_oscillator_correlates_as_its_equation_says() -> None:
    # R(τ) = e^(-ζωτ) (cos ω_d τ + ζ/√(1-ζ²) sin ω_d τ) for white forcing, any textbook.
    values = wander(WobbleKind.OSCILLATOR, 8_000)
    omega, damping = 2 * math.pi * 0.6, 0.32
    damped = omega * math.sqrt(1 - damping**2)
    for lag in (10, 25, 40, 60):
        tau_s = lag * STEP_S
        wave = math.cos(damped * tau_s) + damping / math.sqrt(1 - damping**2) * math.sin(
            damped * tau_s
        )
        found = fmean(a * b for a, b in zip(values, values[lag:], strict=False))
        assert found == pytest.approx(math.exp(-damping * omega * tau_s) * wave, abs=0.05)


def test_strokes_are_no_oscillator() -> None:
    # Their levels are held and left in steps: the largest moves from one moment to the next are
    # far beyond what a Gaussian of that spread would show.
    moves = {
        kind: [b - a for a, b in pairwise(values)]
        for kind in WobbleKind
        for values in [wander(kind, 600)]
    }
    peak = {kind: max(map(abs, m)) / math.sqrt(pvariance(m)) for kind, m in moves.items()}
    assert peak[WobbleKind.OSCILLATOR] < 6
    assert peak[WobbleKind.STROKES] > 10
