"""When the water reaches a mark, from the forecasts made after one reading and the next."""

from pourcoach.domain.units import Grams, Seconds

WANDER_FROM_S: Seconds = 0.5
"""Least duration of flow whose wander counts; before, the stream still rises."""
LEAST_WANDER = 0.05
"""Least wander of a stream as a share of its flow: the steadiest of hands (common practice)."""
WANDER_S: Seconds = 0.1
"""How long a stream keeps a flow of its own, as far as a forecast is concerned. Tried from 0.07 to
0.3 on simulated hands at 10, 20 and 80 Hz: the less, the nearer to the truth for steady hands and
the less a reading moves the forecast; below 0.1 it lags behind unsteady ones."""
ODD = 5.0
"""A forecast off by so many standard errors is no noise: the stream is another, or the scale was
touched."""


class StopForecast:
    """The moment at which the water reaches a mark, each forecast weighed against those before it.

    That moment stands still while the hand pours on as it did, and what the noise of a reading adds
    to one forecast is not in the next: a Kalman filter of a random walk. The walk is that of a
    stream which wanders about its mean, so that the newest forecast counts the more, the more
    unsteady the pour is.
    """

    def __init__(self) -> None:
        self._mark_g: Grams | None = None
        """The mark of the forecasts so far; None if there are none."""
        self._newest_s: Seconds = 0.0
        self._full_s: Seconds = 0.0
        self._variance = 0.0

    def forget(self) -> None:
        """Begin anew with the next forecast."""
        self._mark_g = None

    def feed(
        self, t_s: Seconds, mark_g: Grams, full_s: Seconds, error_s: Seconds, wander: float
    ) -> Seconds:
        """Take what was forecast at ``t_s`` for this mark and return the forecast from all so far.

        ``error_s`` is the standard error that the weight gives it, ``wander`` the coefficient of
        variation of the flow. A forecast of the same moment as the last one adds nothing.
        """
        since_s, self._newest_s = t_s - self._newest_s, t_s
        noise = error_s * error_s
        if mark_g == self._mark_g:
            if since_s <= 0.0:
                return self._full_s
            share = max(LEAST_WANDER, wander)
            before = self._variance + share * share * WANDER_S * since_s
            off_s = full_s - self._full_s
            if off_s * off_s <= ODD * ODD * (before + noise):
                weight = before / (before + noise)
                self._full_s += weight * off_s
                self._variance = (1.0 - weight) * before
                return self._full_s
        self._mark_g, self._full_s, self._variance = mark_g, full_s, noise
        return full_s
