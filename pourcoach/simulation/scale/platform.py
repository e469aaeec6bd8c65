"""The platform under load: how a force becomes the cell's signal."""

import math

from pourcoach.domain.units import Grams, GramsPerSecond, Seconds
from pourcoach.simulation.jet import STANDARD_GRAVITY
from pourcoach.simulation.minimum_jerk import minimum_jerk
from pourcoach.simulation.scale.oscillator import Oscillator
from pourcoach.simulation.scale.scale_model import ScaleModel
from pourcoach.simulation.ticks import TICK_S

CREEP_S = 600.0
"""Time constant of creep; with it nearly all of a data sheet's 30 min figure is reached."""
WARMING_S = 600.0
"""Time constant with which the cell warms under a hot brewer; chosen, no published source."""
SLOSH_RADIUS_M = 0.035
SLOSH_DEPTH_M = 0.02
SLOSH_DAMPING = 0.06
"""Slurry in a paper cone swings a few times; chosen, no published source."""
DIP_S = 0.15
"""How long the first impact shows; chosen after logged pours."""


def slosh_hz(radius_m: float, depth_m: float) -> float:
    """First sideways mode of a liquid in a cylinder: ω² = g k tanh(k h), k = 1.841 / radius.

    Lamb, Hydrodynamics (from memory).
    """
    wave = 1.841 / radius_m
    return math.sqrt(STANDARD_GRAVITY * wave * math.tanh(wave * depth_m)) / (2 * math.pi)


class PlatformModel:
    """Second-order platform and filter, with slosh, first impact, creep and warming."""

    def __init__(self, model: ScaleModel) -> None:
        self._plate = Oscillator(model.natural_hz, model.damping, TICK_S)
        self._slosh = Oscillator(slosh_hz(SLOSH_RADIUS_M, SLOSH_DEPTH_M), SLOSH_DAMPING, TICK_S)
        self._model = model
        self._landing_gps = 0.0
        self._crept_g = 0.0
        self._warm_k = 0.0
        self._impact_s: Seconds | None = None

    def step(self, t_s: Seconds, force_g: Grams, landing_gps: GramsPerSecond, hot: bool) -> Grams:
        """Let a tick pass under this force; the cell's signal at its end.

        ``landing_gps`` shakes the vessel where it changes; ``hot`` says that it warms the cell.
        """
        model = self._model
        if landing_gps != self._landing_gps:
            if self._impact_s is None:
                self._impact_s = t_s
            self._slosh.kick(model.slosh_g_per_gps * (self._landing_gps - landing_gps))
            self._landing_gps = landing_gps
        force_g += self._slosh.step(0.0)
        if self._impact_s is not None and t_s < self._impact_s + DIP_S:
            force_g -= model.dip_g * math.sin(
                math.pi * minimum_jerk((t_s - self._impact_s) / DIP_S)
            )
        signal_g = self._plate.step(force_g)
        self._crept_g += (model.creep_share * signal_g - self._crept_g) * (TICK_S / CREEP_S)
        if hot:
            self._warm_k += (model.warming_k - self._warm_k) * (TICK_S / WARMING_S)
        return signal_g + self._crept_g + model.drift_g_per_k * self._warm_k
