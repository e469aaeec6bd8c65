"""Where a still weight bends into a rising one: the hinge ``a + b·max(0, t - τ)``.

For each way to split the readings, the best level on the still side and the best line on the
other meet at τ; the fit is the split with the least squares that meets between its own readings
(Hudson 1966, "Fitting segmented curves whose join points have to be estimated", J. American
Statistical Association 61:1097).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds


@dataclass(frozen=True, slots=True)
class Hinge:
    """The fitted bend, with standard errors."""

    t_s: Seconds
    t_error_s: Seconds
    level_g: Grams
    """Of the still side."""
    level_error_g: Grams
    slope_gps: GramsPerSecond
    """Of the other side."""
    squares: float
    """Sum of squared residuals, g²."""


def fit_rise(times_s: Sequence[Seconds], grams: Sequence[Grams], noise_var: float) -> Hinge | None:
    """Still, then rising. None with fewer than 4 readings or where nothing rises.

    ``noise_var`` (g²) sets the least size of the standard errors; a worse fit makes them larger.
    """
    n = len(times_s)
    if n < 4:
        return None
    origin_s, origin_g = times_s[0], grams[0]
    t = [v - origin_s for v in times_s]
    y = [v - origin_g for v in grams]
    total_t, total_y = sum(t), sum(y)
    total_tt = sum(v * v for v in t)
    total_yy = sum(v * v for v in y)
    total_ty = sum(a * b for a, b in zip(t, y, strict=True))
    best: tuple[float, float, float, float] | None = None
    left_t = left_y = left_tt = left_ty = 0.0
    for k in range(1, n - 1):
        left_t += t[k - 1]
        left_y += y[k - 1]
        left_tt += t[k - 1] * t[k - 1]
        left_ty += t[k - 1] * y[k - 1]
        right = n - k
        rt, ry = total_t - left_t, total_y - left_y
        rtt, rty = total_tt - left_tt, total_ty - left_ty
        spread = right * rtt - rt * rt
        if spread <= 0.0:
            continue
        level = left_y / k
        slope = (right * rty - rt * ry) / spread
        bend = (level - (ry - slope * rt) / right) / slope if slope > 0.0 else math.inf
        if not t[k - 1] <= bend <= t[k]:
            # The sides meet elsewhere: hold τ at the nearer end of this interval.
            bend = min(max(bend, t[k - 1]), t[k]) if slope > 0.0 else t[k]
            u = rt - right * bend
            uu = rtt - 2.0 * bend * rt + right * bend * bend
            uy = rty - bend * ry
            spread = n * uu - u * u
            if spread <= 0.0:
                continue
            slope = (n * uy - u * total_y) / spread
            level = (total_y - slope * u) / n
        u = rt - right * bend
        uu = rtt - 2.0 * bend * rt + right * bend * bend
        uy = rty - bend * ry
        squares = (
            total_yy
            - 2.0 * (level * total_y + slope * uy)
            + n * level * level
            + 2.0 * level * slope * u
            + slope * slope * uu
        )
        if slope > 0.0 and (best is None or squares < best[0]):
            best = (squares, bend, level, slope)
    if best is None:
        return None
    squares, bend, level, slope = best
    variance = max(noise_var, squares / max(n - 3, 1))
    t_error, level_error = _errors(t, bend, slope, variance)
    return Hinge(bend + origin_s, t_error, level + origin_g, level_error, slope, max(squares, 0.0))


def fit_stop(times_s: Sequence[Seconds], grams: Sequence[Grams], noise_var: float) -> Hinge | None:
    """Rising, then still: the rise with time and weight turned round."""
    turned = fit_rise([-t for t in reversed(times_s)], [-g for g in reversed(grams)], noise_var)
    if turned is None:
        return None
    return Hinge(
        -turned.t_s,
        turned.t_error_s,
        -turned.level_g,
        turned.level_error_g,
        turned.slope_gps,
        turned.squares,
    )


def _errors(
    t: Sequence[Seconds], bend: Seconds, slope: GramsPerSecond, variance: float
) -> tuple[Seconds, Grams]:
    """Standard errors of τ and a from the normal matrix of (a, b, τ) at the fit."""
    n = float(len(t))
    after = [v - bend for v in t if v > bend]
    m, u, uu = float(len(after)), sum(after), sum(v * v for v in after)
    # Rows: da = 1, db = max(0, t - τ), dτ = -b on the rising side.
    a, b, c = n, u, -slope * m
    d, e, f = uu, -slope * u, slope * slope * m
    determinant = a * (d * f - e * e) - b * (b * f - e * c) + c * (b * e - d * c)
    if determinant <= 0.0:
        return math.inf, math.inf
    return (
        math.sqrt(variance * max(a * d - b * b, 0.0) / determinant),
        math.sqrt(variance * max(d * f - e * e, 0.0) / determinant),
    )
