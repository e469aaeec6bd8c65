"""The Kalman filter of the wobble model, written out by hand.

Mean ``x = (w, q, m, d)``; covariance as its upper triangle by rows, ten numbers. Writing the
4 × 4 products out, with the zeros of F left out, costs a tenth of general matrix code in plain
Python, and the filter runs at every reading.
"""

from typing import TypeAlias

from pourcoach.estimation.filter.wobble_model import StepMatrices

Mean: TypeAlias = tuple[float, float, float, float]
Covariance: TypeAlias = tuple[float, float, float, float, float, float, float, float, float, float]


def predict(x: Mean, p: Covariance, s: StepMatrices) -> tuple[Mean, Covariance]:
    """Return ``F x`` and ``F P Fᵀ + Q``, the state after one step of time."""
    w, q, m, d = x
    p00, p01, p02, p03, p11, p12, p13, p22, p23, p33 = p
    f01, f02, f03, f22, f23, f32, f33 = s.f01, s.f02, s.f03, s.f22, s.f23, s.f32, s.f33
    a0 = p00 + f01 * p01 + f02 * p02 + f03 * p03
    a1 = p01 + f01 * p11 + f02 * p12 + f03 * p13
    a2 = p02 + f01 * p12 + f02 * p22 + f03 * p23
    a3 = p03 + f01 * p13 + f02 * p23 + f03 * p33
    b2 = f22 * p22 + f23 * p23
    b3 = f22 * p23 + f23 * p33
    return (
        (w + f01 * q + f02 * m + f03 * d, q, f22 * m + f23 * d, f32 * m + f33 * d),
        (
            a0 + f01 * a1 + f02 * a2 + f03 * a3 + s.q00,
            a1 + s.q01,
            f22 * a2 + f23 * a3 + s.q02,
            f32 * a2 + f33 * a3 + s.q03,
            p11 + s.q11,
            f22 * p12 + f23 * p13,
            f32 * p12 + f33 * p13,
            f22 * b2 + f23 * b3 + s.q22,
            f32 * b2 + f33 * b3 + s.q23,
            f32 * (f32 * p22 + f33 * p23) + f33 * (f32 * p23 + f33 * p33) + s.q33,
        ),
    )


def correct(
    x: Mean, p: Covariance, error_g: float, error_var: float, good: float = 1.0
) -> tuple[Mean, Covariance]:
    """Take in a reading of the weight, off by ``error_g`` from the prediction.

    ``error_var`` is the variance of that error, reading noise included. ``good`` is the
    probability that the reading is no touch: the mean moves by ``good K ν``; the covariance takes
    in that it may be either (Bar-Shalom & Tse 1975).
    """
    w, q, m, d = x
    p00, p01, p02, p03, p11, p12, p13, p22, p23, p33 = p
    k0, k1, k2, k3 = p00 / error_var, p01 / error_var, p02 / error_var, p03 / error_var
    step = good * error_g
    c = step * error_g * (1.0 - good) - good * error_var
    c0, c1, c2, c3 = c * k0, c * k1, c * k2, c * k3
    return (
        (w + k0 * step, q + k1 * step, m + k2 * step, d + k3 * step),
        (
            p00 + c0 * k0,
            p01 + c0 * k1,
            p02 + c0 * k2,
            p03 + c0 * k3,
            p11 + c1 * k1,
            p12 + c1 * k2,
            p13 + c1 * k3,
            p22 + c2 * k2,
            p23 + c2 * k3,
            p33 + c3 * k3,
        ),
    )


def correct_earlier(
    r: Mean, s: StepMatrices, prior: Covariance, error_var: float
) -> tuple[float, Mean]:
    """Return the gain of a figure of an earlier state by the next reading, and its covariance with
    the state after it.

    ``r`` is that covariance before the step; ``prior`` the state's covariance before the reading,
    ``error_var`` as for ``correct``, infinite where there is no reading.
    """
    r0, r1, r2, r3 = r
    r0 += s.f01 * r1 + s.f02 * r2 + s.f03 * r3
    r2, r3 = s.f22 * r2 + s.f23 * r3, s.f32 * r2 + s.f33 * r3
    gain = r0 / error_var
    p0, p1, p2, p3 = prior[:4]
    return gain, (r0 - gain * p0, r1 - gain * p1, r2 - gain * p2, r3 - gain * p3)
