"""The flow of a stretch of a pour as a Fourier series, as it shows in the weight and in evenness.

``flow = c₀ + Σ aₖ cos ωₖs + bₖ sin ωₖs`` with s the time since the stretch began. Water falls for
t_f and pushes where it lands with flow times t_f, so the scale reads

    level + W(s - t_f) + t_f · flow(s - t_f),  W the water poured

(momentum flux of a free-falling jet). The series repeats after a time longer than the stretch, so
that its ends need not meet.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pourcoach.domain.units import Seconds
from pourcoach.estimation.noise.whitening import Array, Means

# By so much the period of the series is longer than the stretch, and this is its highest frequency.
BEYOND_S = 2.5
HIGHEST_HZ = 2.4
# From the first frequency on a hand is quick; from the second on its spectrum falls, by this power
# of the frequency (assumed; held to simulated hands of two kinds).
QUICK_HZ = 0.6
FADING_HZ = 1.2
FADING_POWER = 4.0
QUICK_BAND_HZ = FADING_HZ - QUICK_HZ + FADING_HZ / (FADING_POWER - 1.0)
"""So wide is a band of constant density that holds as much as all that a hand does quickly."""
# Of the coefficients: the level, the mean flow, then the waves.
MEAN_FLOW = 1
FIRST_WAVE = 2
# What is known of level and mean flow before any reading.
LEVEL_PRECISION = 1e-6
MEAN_PRECISION = 0.25
# Moments a second at which the flow is judged.
JUDGED_PER_S = 12.5


@dataclass(frozen=True, slots=True)
class FlowSeries:
    """The series of one stretch: its waves, whatever their sizes."""

    from_s: Seconds
    to_s: Seconds
    fall_s: Seconds

    @property
    def period_s(self) -> Seconds:
        """After which the series repeats."""
        return self.to_s - self.from_s + BEYOND_S

    @property
    def waves_hz(self) -> Array:
        """(k,)"""
        return np.arange(1.0, int(HIGHEST_HZ * self.period_s) + 1.0) / self.period_s

    @property
    def quick(self) -> NDArray[np.bool_]:
        """(2 + 2k) the coefficients of waves that a hand makes quickly."""
        waves = self.waves_hz > QUICK_HZ
        return np.concatenate([np.zeros(FIRST_WAVE, dtype=bool), waves, waves])

    def rows(self, means: Means) -> Array:
        """(n, 2 + 2k): what each coefficient adds to each mean reading."""
        s = means.members_s - self.from_s - self.fall_s
        omega = 2.0 * np.pi * self.waves_hz
        phases = s[..., None] * omega
        sines, cosines = means.of(np.sin(phases)), means.of(np.cos(phases))
        ones = np.ones((len(s), 1))
        return np.concatenate(
            [
                ones,
                means.of(s + self.fall_s)[:, None],
                sines / omega + self.fall_s * cosines,
                (1.0 - cosines) / omega + self.fall_s * sines,
            ],
            axis=1,
        )

    def rising_rows(self, times_s: Array) -> Array:
        """(n, 2 + 2k): what each adds to how fast the reading rises at these moments."""
        s = times_s - self.from_s - self.fall_s
        omega = 2.0 * np.pi * self.waves_hz
        phases = s[:, None] * omega
        sines, cosines = np.sin(phases), np.cos(phases)
        pushed = self.fall_s * omega
        level, mean = np.zeros((len(s), 1)), np.ones((len(s), 1))
        return np.concatenate(
            [level, mean, cosines - pushed * sines, sines + pushed * cosines], axis=1
        )

    def flow_rows(self, times_s: Array) -> Array:
        """(n, 2 + 2k): what each adds to the flow at these moments."""
        phases = (times_s - self.from_s)[:, None] * (2.0 * np.pi * self.waves_hz)
        level, mean = np.zeros((len(times_s), 1)), np.ones((len(times_s), 1))
        return np.concatenate([level, mean, np.cos(phases), np.sin(phases)], axis=1)

    def judged(self, from_s: Seconds, to_s: Seconds) -> tuple[Array, Array, Seconds]:
        """The mean flow between two moments as a row of the coefficients, the mean of its square
        as a quadratic form of them, and the time between, as far as it lies in this stretch."""
        from_s, to_s = max(from_s, self.from_s), min(to_s, self.to_s)
        lasts_s = max(to_s - from_s, 0.0)
        count = int(lasts_s * JUDGED_PER_S) + 1
        rows = self.flow_rows(from_s + np.arange(0.5, count) * (lasts_s / count))
        return rows.mean(axis=0), rows.T @ rows / count, lasts_s

    def wave_variances(self, slow: Array, quick: Array) -> Array:
        """(h, 2k): of the waves' coefficients, for spectral densities of flow ``slow²`` and
        ``quick²`` a hertz, (h,), below and above where a hand is quick."""
        hz = self.waves_hz
        quickly = np.where(hz > FADING_HZ, (FADING_HZ / hz) ** FADING_POWER, 1.0)
        density = np.where(hz <= QUICK_HZ, slow[:, None] ** 2, quick[:, None] ** 2 * quickly)
        return np.tile(density / self.period_s, 2)

    def precisions(self, slow: Array, quick: Array) -> Array:
        """(h, 2 + 2k): of all coefficients before any reading; the mean flow is 1."""
        waves = 1.0 / self.wave_variances(slow, quick)
        first = np.tile([LEVEL_PRECISION, MEAN_PRECISION], (len(waves), 1))
        return np.concatenate([first, waves], axis=1)

    def beyond(self, precisions: Array) -> Array:
        """(h,): the variance of the flow above the highest wave, of hands with these
        ``precisions`` (h, 2 + 2k)."""
        highest: Array = self.period_s / precisions[:, -1]
        return highest * HIGHEST_HZ / (FADING_POWER - 1.0)

    def seen_with(self, fall_s: Seconds) -> Array:
        """(2 + 2k): the size of each coefficient that makes the same readings, were the water to
        fall for ``fall_s``, as a share of what it is."""
        omega = 2.0 * np.pi * self.waves_hz
        share = np.sqrt((1.0 + (omega * self.fall_s) ** 2) / (1.0 + (omega * fall_s) ** 2))
        return np.concatenate([np.ones(FIRST_WAVE), share, share])
