import math

import pytest

from pourcoach.simulation.scale.oscillator import Oscillator, transition


def test_two_half_steps_are_one_whole_step() -> None:
    half, whole = transition(2.0, 0.3, 0.05), transition(2.0, 0.3, 0.1)
    a, b, c, d = half
    assert (a * a + b * c, a * b + b * d, c * a + d * c, c * b + d * d) == pytest.approx(whole)


@pytest.mark.parametrize(("hz", "damping"), [(3.6, 0.06), (14.0, 0.7)])
def test_a_step_of_load_follows_the_textbook_response(hz: float, damping: float) -> None:
    # x(t) = 1 - e^(-ζωt) (cos ω_d t + ζ/√(1-ζ²) sin ω_d t), any control textbook.
    swinging = Oscillator(hz, damping, 0.005)
    omega = 2 * math.pi * hz
    damped = omega * math.sqrt(1 - damping**2)
    for step in range(1, 200):
        t_s = step * 0.005
        share = damping / math.sqrt(1 - damping**2)
        wave = math.cos(damped * t_s) + share * math.sin(damped * t_s)
        assert swinging.step(1.0) == pytest.approx(1 - math.exp(-damping * omega * t_s) * wave)


def test_a_kick_swings_by_its_amplitude() -> None:
    swinging = Oscillator(2.0, 0.0, 0.001)
    swinging.kick(0.3)
    assert max(swinging.step(0.0) for _ in range(1000)) == pytest.approx(0.3, rel=1e-4)
