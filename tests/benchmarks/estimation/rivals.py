"""What else one could do with the same readings, tuned on the tuning seeds."""

from collections.abc import Callable, Sequence

import numpy as np
from filterpy.kalman import KalmanFilter
from scipy.signal import savgol_coeffs

from tests.benchmarks.estimation.population import Array, Brew

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
    """The slope of a polynomial through the last readings, returned ``lag_s`` before the newest."""

    def flow(brew: Brew) -> tuple[Array, Array]:
        at = min(round(lag_s * brew.rate_hz), points - 1)
        taps = savgol_coeffs(
            points, order, deriv=1, delta=1.0 / brew.rate_hz, pos=points - 1 - at, use="dot"
        )
        slope = np.convolve(brew.grams, taps[::-1], mode="valid")
        return brew.times_s[points - 1 :] - at / brew.rate_hz, slope

    return flow


def constant_velocity(drive: float, sigma_g: float, lag_s: float) -> Rival:
    """filterpy's Kalman filter with weight and flow, flow a random walk of ``drive`` (g/s)²/s.

    With a lag, its flow then is that of the line through the states: smoothed over the lag by
    filterpy's Rauch-Tung-Striebel smoother.
    """

    def flow(brew: Brew) -> tuple[Array, Array]:
        kalman = velocity_filter(1.0 / brew.rate_hz, drive, sigma_g, float(brew.grams[0]))
        count = len(brew.grams)
        lag = round(lag_s * brew.rate_hz)
        priors, gains, slopes = np.empty(count), np.empty((count, 2)), np.empty(count)
        innovations = np.empty(count)
        for index, grams in enumerate(brew.grams):
            kalman.predict()
            priors[index] = kalman.x[0, 0]
            kalman.update(grams)
            innovations[index] = grams - priors[index]
            gains[index] = kalman.K[:, 0]
            slopes[index] = kalman.x[1, 0]
        if not lag:
            return brew.times_s, slopes
        # Steady fixed-lag gains from the filter's own covariances (Moore 1973).
        error_var = kalman.P_prior[0, 0] + sigma_g**2
        row = kalman.P[1] @ kalman.F.T
        later = slopes[:-lag].copy()
        for i in range(1, lag + 1):
            gain = row[0] / error_var
            later += gain * innovations[i : count - lag + i]
            row = (row - gain * kalman.P_prior[0]) @ kalman.F.T
        return brew.times_s[:-lag], later

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


# Savitzky & Golay 1964, Analytical Chemistry 36:1627, first derivative of a quadratic and of a
# cubic: integers and norm (the 1964 tables as corrected by Steinier 1972, ibid. 44:1906).
SLOPES_1964 = {
    (5, 2): ((-2, -1, 0, 1, 2), 10),
    (7, 2): ((-3, -2, -1, 0, 1, 2, 3), 28),
    (9, 2): ((-4, -3, -2, -1, 0, 1, 2, 3, 4), 60),
    (5, 3): ((1, -8, 0, 8, -1), 12),
    (7, 3): ((22, -67, -58, 0, 58, 67, -22), 252),
    (9, 3): ((86, -142, -193, -126, 0, 126, 193, 142, -86), 1188),
}


def check_savitzky_golay() -> None:
    """The rival's weights are those of the published tables."""
    for (points, order), (integers, norm) in SLOPES_1964.items():
        taps = savgol_coeffs(points, order, deriv=1, use="dot")
        np.testing.assert_allclose(taps, np.array(integers) / norm, atol=1e-12)
