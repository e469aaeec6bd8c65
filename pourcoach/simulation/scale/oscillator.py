"""The damped oscillator ``x'' + 2ζω x' + ω² (x - rest) = 0``, moved exactly from tick to tick."""

import math

from pourcoach.domain.units import Hertz, Seconds


def transition(hz: Hertz, damping: float, step_s: Seconds) -> tuple[float, float, float, float]:
    """How (x, x') moves in one step: the closed form of the matrix exponential, row by row.

    ``hz`` is the undamped natural frequency, ``damping`` the ratio ζ, at least 0 and below 1.
    """
    omega = 2 * math.pi * hz
    damped = omega * math.sqrt(1 - damping**2)
    decay = math.exp(-damping * omega * step_s)
    cosine = decay * math.cos(damped * step_s)
    sine = decay * math.sin(damped * step_s) / damped
    return (
        cosine + damping * omega * sine,
        sine,
        -(omega**2) * sine,
        cosine - damping * omega * sine,
    )


class Oscillator:
    """One of them, at rest at 0 to begin with."""

    def __init__(self, hz: Hertz, damping: float, step_s: Seconds) -> None:
        self.omega = 2 * math.pi * hz
        self.position = 0.0
        self._velocity = 0.0
        self._move = transition(hz, damping, step_s)

    def step(self, rest: float) -> float:
        """Move one step towards ``rest``, held over the step; the new position."""
        xx, xv, vx, vv = self._move
        off = self.position - rest
        self.position = rest + xx * off + xv * self._velocity
        self._velocity = vx * off + vv * self._velocity
        return self.position

    def kick(self, amplitude: float) -> None:
        """Strike it so that from rest and without damping it would swing by ``amplitude``."""
        self._velocity += amplitude * self.omega
