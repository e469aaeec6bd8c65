"""What else one could do with the same readings, tuned on the tuning seeds."""

from collections.abc import Callable, Sequence

import numpy as np
from filterpy.kalman import KalmanFilter
from population import Array, Brew
from scipy.signal import savgol_coeffs

Rival = Callable[[Brew], tuple[Array, Array]]
"""Gives (times, flows)."""


def difference(span_s: float) -> Rival:
    """The weight now less that a while ago: what a stopwatch reader does."""

    def flow(brew: Brew) -> tuple[Array, Array]:
        count = max(round(span_s * brew.rate_hz), 1)
        slope = (brew.grams[count:] - brew.grams[:-count]) * brew.rate_hz / count
        return brew.times_s[count:], slope

    return flow


def savitzky_golay(points: int, order: int, lag_s: float) -> Rival:
    """The slope of a polynomial through the last readings, told ``lag_s`` before the newest."""

    def flow(brew: Brew) -> tuple[Array, Array]:
        at = min(round(lag_s * brew.rate_hz), points - 1)
        taps = savgol_coeffs(
            points, order, deriv=1, delta=1.0 / brew.rate_hz, pos=points - 1 - at, use="dot"
        )
        slope = np.convolve(brew.grams, taps[::-1], mode="valid")
        return brew.times_s[points - 1 :] - at / brew.rate_hz, slope

    return flow


def constant_velocity(drive: float, sigma_g: float) -> Rival:
    """filterpy's Kalman filter with weight and flow, flow a random walk of ``drive`` (g/s)²/s."""

    def flow(brew: Brew) -> tuple[Array, Array]:
        kalman = velocity_filter(1.0 / brew.rate_hz, drive, sigma_g, float(brew.grams[0]))
        slopes = np.empty(len(brew.grams))
        for index, grams in enumerate(brew.grams):
            kalman.predict()
            kalman.update(grams)
            slopes[index] = kalman.x[1, 0]
        return brew.times_s, slopes

    return flow


def velocity_filter(dt: float, drive: float, sigma_g: float, first_g: float) -> KalmanFilter:
    """Weight and flow; white noise of density ``drive`` on flow's derivative."""
    kalman = KalmanFilter(dim_x=2, dim_z=1)
    kalman.x = np.array([[first_g], [0.0]])
    kalman.F = np.array([[1.0, dt], [0.0, 1.0]])
    kalman.H = np.array([[1.0, 0.0]])
    kalman.P = np.diag([sigma_g**2, 1.0])
    kalman.Q = drive * np.array([[dt**3 / 3.0, dt**2 / 2.0], [dt**2 / 2.0, dt]])
    kalman.R = np.array([[sigma_g**2]])
    return kalman


def inside_errors(brew: Brew, times: Array, flows: Array) -> Array:
    """Estimate less truth, inside the pour."""
    inside = (times >= brew.start_s) & (times <= brew.stop_s)
    return flows[inside] - brew.flow_at(times[inside])


def rmse(errors: Sequence[Array]) -> float:
    """Over all moments of all brews."""
    joined = np.concatenate(list(errors))
    return float(np.sqrt(np.mean(joined * joined)))
