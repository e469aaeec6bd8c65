"""The model of water from a hand-held kettle, and its step matrices.

State ``[w, qbar, m, mdot]``: the weight, the slow flow, the wobble about it and its rate:

    dw = (qbar + m) dt        dqbar = √r dB        m'' + 2ζω m' + ω² m = noise,  Var m = V

Flow is ``qbar + m``. The wobble is a damped oscillator driven by white noise of spectral density
``s = 4 ζ ω³ V``, which gives it the stationary variance V (Gelb, "Applied Optimal Estimation",
1974, section 3.8; from memory).
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from operator import mul
from typing import TypeAlias

from pourcoach.domain.units import Hertz, Seconds

Matrix: TypeAlias = tuple[tuple[float, ...], ...]

# Time is stepped on a grid of whole milliseconds, so that step matrices come from a table.
# Absolute times are rounded, never steps: at 80 Hz a rounded step would bias flow by 4 %.
TICKS_PER_S = 1000
# exp(-A t) within Van Loan's block grows by e^2.5 a second here, and Q is a small difference of
# such numbers: beyond some 14 s nothing of it is left in a double. Longer steps are put together.
LONGEST_BLOCK_S: Seconds = 1.0


@dataclass(frozen=True, slots=True)
class WobbleModel:
    """How the flow of a hand-held kettle moves. The defaults fit simulated hands, not measured
    ones."""

    frequency_hz: Hertz = 0.8
    """Frequency of the wobble."""
    damping: float = 0.5
    """ζ, damping ratio of the wobble: below 1, so it swings."""
    variance: float = 1.3
    """V, stationary variance of the wobble, (g/s)²."""
    drift: float = 1.2
    """r, how fast the slow flow wanders, (g/s)² a second."""


@dataclass(frozen=True, slots=True)
class StepMatrices:
    """What one step of time does: the nonzero parts of F and Q, by row and column.

    ``f01`` to ``f03`` carry flow into weight; ``f22`` to ``f33`` turn the oscillator.
    Q is symmetric; q12 and q13 are zero, for slow flow and wobble are independent.
    """

    f01: float
    f02: float
    f03: float
    f22: float
    f23: float
    f32: float
    f33: float
    q00: float
    q01: float
    q02: float
    q03: float
    q11: float
    q22: float
    q23: float
    q33: float


class StepTable(dict[float, StepMatrices]):
    """Step matrices by milliseconds, computed when first needed."""

    def __init__(self, model: WobbleModel) -> None:
        self._model = model

    def __missing__(self, ticks: float) -> StepMatrices:
        step = self[ticks] = _step(self._model, ticks)
        return step


@lru_cache(maxsize=64)
def steps_of(model: WobbleModel) -> StepTable:
    """Return the table of a model, shared by all callers."""
    return StepTable(model)


def _step(model: WobbleModel, ticks: float) -> StepMatrices:
    """The step matrices over ``ticks`` milliseconds, by Van Loan's method.

    exp([[-A, G], [0, Aᵀ]] t) = [[·, F⁻¹Q], [0, Fᵀ]]   (Van Loan 1978, IEEE Trans. Automatic
    Control 23:395).
    """
    omega = 2.0 * math.pi * model.frequency_hz
    a = (
        (0.0, 1.0, 1.0, 0.0),
        (0.0, 0.0, 0.0, 0.0),
        (0.0, 0.0, 0.0, 1.0),
        (0.0, 0.0, -omega * omega, -2.0 * model.damping * omega),
    )
    density = 4.0 * model.damping * omega**3 * model.variance
    g = ((0.0,) * 4, (0.0, model.drift, 0.0, 0.0), (0.0,) * 4, (0.0, 0.0, 0.0, density))
    f, q = van_loan(a, g, ticks / TICKS_PER_S)
    return StepMatrices(
        f01=f[0][1],
        f02=f[0][2],
        f03=f[0][3],
        f22=f[2][2],
        f23=f[2][3],
        f32=f[3][2],
        f33=f[3][3],
        q00=q[0][0],
        q01=q[0][1],
        q02=q[0][2],
        q03=q[0][3],
        q11=q[1][1],
        q22=q[2][2],
        q23=q[2][3],
        q33=q[3][3],
    )


def van_loan(a: Matrix, g: Matrix, duration_s: Seconds) -> tuple[Matrix, Matrix]:
    """Return F and Q of ``dx = a x dt + noise``, noise of spectral density ``g``, over
    ``duration_s``."""
    if duration_s > LONGEST_BLOCK_S:
        # Two halves in a row: F(2t) = F F and Q(2t) = F Q Fᵀ + Q.
        f, q = van_loan(a, g, duration_s / 2.0)
        carried = _product(_product(f, q), tuple(zip(*f, strict=True)))
        return _product(f, f), _sum(carried, q)
    n = len(a)
    block = tuple(
        tuple(-v * duration_s for v in a[i]) + _scaled(g[i], duration_s) for i in range(n)
    )
    block += tuple((0.0,) * n + tuple(a[j][i] * duration_s for j in range(n)) for i in range(n))
    e = _exponential(block)
    f = tuple(tuple(e[n + j][n + i] for j in range(n)) for i in range(n))
    q = _product(f, tuple(row[n:] for row in e[:n]))
    return f, q


def _scaled(row: tuple[float, ...], factor: float) -> tuple[float, ...]:
    return tuple(v * factor for v in row)


def _sum(a: Matrix, b: Matrix) -> Matrix:
    return tuple(tuple(x + y for x, y in zip(p, q, strict=True)) for p, q in zip(a, b, strict=True))


def _product(a: Matrix, b: Matrix) -> Matrix:
    columns = tuple(zip(*b, strict=True))
    return tuple(tuple(sum(map(mul, row, column)) for column in columns) for row in a)


def _exponential(a: Matrix) -> Matrix:
    """exp(a) by scaling and squaring a Taylor series (Moler & Van Loan 2003, SIAM Review 45:3)."""
    n = len(a)
    norm = max(sum(abs(v) for v in row) for row in a)
    halvings = max(0, math.ceil(math.log2(norm)) + 2) if norm > 0 else 0
    scale = 0.5**halvings
    scaled = tuple(tuple(v * scale for v in row) for row in a)
    identity = tuple(tuple(float(i == j) for j in range(n)) for i in range(n))
    total = term = identity
    for order in range(1, 12):  # 0.25**12 / 12! is below one part in 1e15
        term = tuple(tuple(v / order for v in row) for row in _product(term, scaled))
        total = _sum(total, term)
    for _ in range(halvings):
        total = _product(total, total)
    return total
