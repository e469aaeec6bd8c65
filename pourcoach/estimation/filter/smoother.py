"""What readings say about the past: the backward pass of the wobble filter.

The modified Bryson-Frazier form of the fixed-interval smoother needs no matrix inverse
(Bierman 1973, "Fixed interval smoothing with discrete measurements", Int. J. Control 18:65).
Going back through the readings it carries an adjoint λ and its covariance Λ; the smoothed state
is ``x - P λ`` with covariance ``P - P Λ P``, x and P being the filter's own after that reading.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.estimation.filter.wobble_filter import Covariance, Mean, correct, predict
from pourcoach.estimation.filter.wobble_model import (
    TICKS_PER_S,
    StepMatrices,
    WobbleModel,
    steps_of,
)

_NONE: Mean = (0.0, 0.0, 0.0, 0.0)


@dataclass(slots=True)
class Passage:
    """One reading's way through the filter, kept for the way back."""

    step: StepMatrices
    """That led to it."""
    error_g: Grams
    """The reading less its prediction."""
    error_var: float
    """Infinite where there was no reading to take in."""
    gain: Mean
    """K."""
    x: Mean
    p: Covariance


@dataclass(slots=True)
class Adjoint:
    """λ and Λ: what the readings after a moment say of the state at it."""

    l0: float = 0.0
    l1: float = 0.0
    l2: float = 0.0
    l3: float = 0.0
    c00: float = 0.0
    c01: float = 0.0
    c02: float = 0.0
    c03: float = 0.0
    c11: float = 0.0
    c12: float = 0.0
    c13: float = 0.0
    c22: float = 0.0
    c23: float = 0.0
    c33: float = 0.0

    def back_over(self, passage: Passage) -> None:
        """From just after this reading to just after the one before."""
        k0, k1, k2, k3 = passage.gain
        inverse = 1.0 / passage.error_var
        l0, l1, l2, l3 = self.l0, self.l1, self.l2, self.l3
        l0 -= k0 * l0 + k1 * l1 + k2 * l2 + k3 * l3 + inverse * passage.error_g
        c00, c01, c02, c03 = self.c00, self.c01, self.c02, self.c03
        c11, c12, c13, c22, c23, c33 = self.c11, self.c12, self.c13, self.c22, self.c23, self.c33
        u0 = c00 * k0 + c01 * k1 + c02 * k2 + c03 * k3
        u1 = c01 * k0 + c11 * k1 + c12 * k2 + c13 * k3
        u2 = c02 * k0 + c12 * k1 + c22 * k2 + c23 * k3
        u3 = c03 * k0 + c13 * k1 + c23 * k2 + c33 * k3
        c00 += inverse - 2.0 * u0 + k0 * u0 + k1 * u1 + k2 * u2 + k3 * u3
        c01, c02, c03 = c01 - u1, c02 - u2, c03 - u3

        s = passage.step
        f01, f02, f03, f22, f23, f32, f33 = s.f01, s.f02, s.f03, s.f22, s.f23, s.f32, s.f33
        self.l0 = l0
        self.l1 = f01 * l0 + l1
        self.l2 = f02 * l0 + f22 * l2 + f32 * l3
        self.l3 = f03 * l0 + f23 * l2 + f33 * l3
        a1 = f01 * c00 + c01
        a2 = f02 * c00 + f22 * c02 + f32 * c03
        a3 = f03 * c00 + f23 * c02 + f33 * c03
        b1 = f01 * c01 + c11
        d2, d3 = f22 * c22 + f32 * c23, f23 * c22 + f33 * c23
        e2, e3 = f22 * c23 + f32 * c33, f23 * c23 + f33 * c33
        self.c00 = c00
        self.c01 = a1
        self.c02 = a2
        self.c03 = a3
        self.c11 = f01 * a1 + b1
        self.c12 = f02 * a1 + f22 * (f01 * c02 + c12) + f32 * (f01 * c03 + c13)
        self.c13 = f03 * a1 + f23 * (f01 * c02 + c12) + f33 * (f01 * c03 + c13)
        self.c22 = f02 * a2 + f22 * (f02 * c02 + d2) + f32 * (f02 * c03 + e2)
        self.c23 = f03 * a2 + f23 * (f02 * c02 + d2) + f33 * (f02 * c03 + e2)
        self.c33 = f03 * a3 + f23 * (f03 * c02 + d3) + f33 * (f03 * c03 + e3)

    def flow(self, passage: Passage) -> tuple[GramsPerSecond, float]:
        """The smoothed flow at this reading, and its variance."""
        _, p01, p02, _, p11, p12, p13, p22, p23, _ = passage.p
        _, q, m, _ = passage.x
        # Covariance of flow with the state.
        r0, r1, r2, r3 = p01 + p02, p11 + p12, p12 + p22, p13 + p23
        explained = (
            r0 * (r0 * self.c00 + 2.0 * (r1 * self.c01 + r2 * self.c02 + r3 * self.c03))
            + r1 * (r1 * self.c11 + 2.0 * (r2 * self.c12 + r3 * self.c13))
            + r2 * (r2 * self.c22 + 2.0 * r3 * self.c23)
            + r3 * r3 * self.c33
        )
        return (
            q + m - (r0 * self.l0 + r1 * self.l1 + r2 * self.l2 + r3 * self.l3),
            max(p11 + 2.0 * p12 + p22 - explained, 0.0),
        )


def pass_through(
    times_s: Sequence[Seconds],
    grams: Sequence[Grams | None],
    noise_var: float,
    model: WobbleModel,
    start: tuple[Mean, Covariance],
    touch_density: float = 0.0,
) -> tuple[list[Passage], float]:
    """The way through the filter from the state ``start`` just before the first reading, and the
    logarithm of the model's likelihood, but for a constant.

    A moment without a reading is passed over. So is a reading less likely than a touch, which may
    put it anywhere with this probability a gram.
    """
    x, p = start
    steps = steps_of(model)
    passages: list[Passage] = []
    likelihood = 0.0
    worst = -math.log(touch_density * math.sqrt(2.0 * math.pi)) if touch_density else math.inf
    before = round(times_s[0] * TICKS_PER_S)
    for t_s, g in zip(times_s, grams, strict=True):
        ticks = round(t_s * TICKS_PER_S)
        step = steps[ticks - before]
        before = ticks
        x, p = predict(x, p, step)
        if g is None:
            passages.append(Passage(step, 0.0, math.inf, _NONE, x, p))
            continue
        error_g, error_var = g - x[0], p[0] + noise_var
        unlikely = 0.5 * (error_g * error_g / error_var + math.log(error_var))
        if unlikely > worst:
            likelihood -= worst
            passages.append(Passage(step, 0.0, math.inf, _NONE, x, p))
            continue
        likelihood -= unlikely
        gain = (p[0] / error_var, p[1] / error_var, p[2] / error_var, p[3] / error_var)
        x, p = correct(x, p, error_g, error_var)
        passages.append(Passage(step, error_g, error_var, gain, x, p))
    return passages, likelihood


def smooth_flow(passages: Sequence[Passage]) -> list[tuple[GramsPerSecond, float]]:
    """Flow and its variance at each reading, from all of them."""
    adjoint = Adjoint()
    flows: list[tuple[GramsPerSecond, float]] = []
    for passage in reversed(passages):
        flows.append(adjoint.flow(passage))
        adjoint.back_over(passage)
    flows.reverse()
    return flows
