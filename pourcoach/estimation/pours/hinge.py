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

# A hinge lies half a ramp inside the pour; half of a usual ramp is this much (assumed).
HALF_RAMP_UP_S = 0.14
HALF_RAMP_DOWN_S = 0.1


@dataclass(frozen=True, slots=True)
class Hinge:
    """The fitted bend."""

    t_s: Seconds
    level_g: Grams
    """Of the still side."""
    slope_gps: GramsPerSecond
    """Of the other side."""


def fit_rise(times_s: Sequence[Seconds], grams: Sequence[Grams]) -> Hinge | None:
    """Still, then rising. None with fewer than 4 readings or where nothing rises."""
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
    _, bend, level, slope = best
    return Hinge(bend + origin_s, level + origin_g, slope)


def fit_stop(times_s: Sequence[Seconds], grams: Sequence[Grams]) -> Hinge | None:
    """Rising, then still: the rise with time and weight turned round."""
    turned = fit_rise([-t for t in reversed(times_s)], [-g for g in reversed(grams)])
    if turned is None:
        return None
    return Hinge(-turned.t_s, -turned.level_g, turned.slope_gps)
