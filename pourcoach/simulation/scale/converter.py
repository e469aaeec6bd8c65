"""The converter and the device's clock: a signal becomes weights at moments."""

import math
from array import array
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from pourcoach.domain.units import Grams, Seconds
from pourcoach.simulation.scale.noise import Noise
from pourcoach.simulation.scale.scale_model import ScaleModel
from pourcoach.simulation.ticks import TICK_S

SEQUENCES = 2**16
"""The device counts its readings modulo this."""
SPIKES_G = (2.0, 200.0)
"""Size of a spike, either way, evenly over its logarithm; chosen, no published source."""


@dataclass(frozen=True, slots=True)
class DeviceSample:
    """One weight as the device has it."""

    t_s: Seconds
    """When it was truly taken."""
    grams: Grams
    device_s: Seconds
    """What its own clock said, to the millisecond."""
    sequence: int
    spike_g: Grams = 0.0
    """How far off it is, where it is a spike."""
    tared_g: Grams = 0.0
    """By how much the scale has zeroed itself since the sample before."""


class Converter:
    """Takes a sample whenever its own clock says so."""

    def __init__(
        self,
        model: ScaleModel,
        chance: Random,
        spikes: Random,
        tares_s: Sequence[Seconds] = (),
    ) -> None:
        """``tares_s``: when its own tare button is pressed. ``spikes`` is chance, for those."""
        self._model = model
        self._chance = chance
        self._spikes = spikes
        self._tares_s = sorted(tares_s)
        self._zero_g = -model.untared_g
        self._converted_g = 0.0
        self._period_s = 1 / model.rate_hz
        self._noise = Noise(
            model.noise_g, model.flicker_g, self._period_s, chance, model.noise_lag_1
        )
        self._window_s = model.settling_samples * self._period_s
        self._ppm = model.clock_ppm
        self._count = 0
        self._next_s = chance.uniform(0, self._period_s)
        self._origin_s = chance.uniform(5, 500)
        self._last_g: Grams | None = None
        self._signal_g = 0.0
        self._area = array("d", [0.0])
        """Integral of the signal up to each tick, for the average of a slow converter."""

    def step(self, t_s: Seconds, signal_g: Grams) -> DeviceSample | None:
        """Let the tick that ends at ``t_s`` pass; the sample taken in it, if one was."""
        before_g, self._signal_g = self._signal_g, signal_g
        if self._window_s:
            self._area.append(self._area[-1] + (before_g + signal_g) / 2 * TICK_S)
        if self._next_s > t_s:
            return None
        taken_s = self._next_s
        if self._window_s:
            weight_g = self._averaged(taken_s)
        else:
            weight_g = signal_g + (before_g - signal_g) * (t_s - taken_s) / TICK_S
        tared_g = self._tared_g(taken_s)
        weight_g += self._noise.step()
        self._converted_g = weight_g
        spike_g = self._spike_g()
        sample = DeviceSample(
            taken_s,
            self._shown(weight_g + spike_g),
            round(self._origin_s + self._count * self._period_s, 3),
            self._count % SEQUENCES,
            spike_g,
            tared_g,
        )
        self._count += 1
        wander_ppm = self._model.clock_wander_ppm * math.sqrt(self._period_s / 60)
        self._ppm += self._chance.gauss(0, wander_ppm)
        # A clock that runs fast takes its samples sooner than it believes.
        self._next_s += self._period_s / (1 + self._ppm * 1e-6)
        return sample

    def _tared_g(self, t_s: Seconds) -> Grams:
        """How far the zero moves: the last conversion before the button counts as 0."""
        before_g = self._zero_g
        while self._tares_s and self._tares_s[0] <= t_s:
            self._tares_s.pop(0)
            self._zero_g = self._converted_g
        return self._zero_g - before_g

    def _spike_g(self) -> Grams:
        if not self._model.spikes or self._spikes.random() >= self._model.spikes:
            return 0.0
        low_g, high_g = SPIKES_G
        size_g = low_g * math.exp(math.log(high_g / low_g) * self._spikes.random())
        return size_g * self._spikes.choice((-1, 1))

    def _averaged(self, t_s: Seconds) -> Grams:
        return (self._area_at(t_s) - self._area_at(t_s - self._window_s)) / self._window_s

    def _area_at(self, t_s: Seconds) -> float:
        place = max(t_s / TICK_S, 0.0)
        tick = min(int(place), len(self._area) - 2)
        return self._area[tick] + (self._area[tick + 1] - self._area[tick]) * (place - tick)

    def _shown(self, weight_g: Grams) -> Grams:
        model = self._model
        if self._last_g is not None and self._chance.random() < model.stale:
            return self._last_g
        grams = min(max(weight_g - self._zero_g, -model.capacity_g), model.capacity_g)
        if model.resolution_g:
            # The second rounding only cleans binary dust: 0.30000000000000004 is 0.3.
            grams = round(round(grams / model.resolution_g) * model.resolution_g, 6)
        self._last_g = grams
        return grams
