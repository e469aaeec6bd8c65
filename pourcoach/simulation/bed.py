"""Coffee bed and server: what the bed keeps, what drains and what goes off as vapour."""

import math
from functools import lru_cache

from pourcoach.domain.plan import Plan
from pourcoach.domain.units import Celsius, Grams, GramsPerSecond, Seconds
from pourcoach.simulation.jet import STANDARD_GRAVITY
from pourcoach.simulation.ticks import TICK_S

RETAINED_G_PER_G = 2.0
"""Liquid a drained bed keeps; about 2 mL/g, Lockhart (from memory)."""
DENSITY_KGPM3 = 963.28
"""Water at 93 °C and 101 325 Pa, IAPWS-IF97."""
USUAL_KETTLE_C = 93.0
"""SCAA Golden Cup standard, 2015: 93 ± 3 °C where water meets coffee."""
SURFACE_BELOW_KETTLE_C = 8.0
"""How much cooler the slurry's surface is; common practice, no published source."""
ROOM_VAPOUR_PA = 1170.0
"""Half of saturation at 20 °C."""
LATENT_HEAT_JPKG = 2.29e6
"""Of evaporation at 85 °C; steam tables (from memory)."""
VAPOUR_AREA_M2 = 0.004
"""Open surface of a small dripper; chosen, no published source."""
BULK_DENSITY_GPCM3 = 0.40
"""Ground coffee, loosely settled; common practice."""
BED_AREA_M2_AT_20_G = 0.00283
"""A disc of 30 mm radius under 20 g; other doses keep the shape of the bed."""
DRAINABLE_POROSITY = 0.3
"""Share of the bed's volume that holds water above what it keeps; chosen, no published source."""
SLURRY_JPK = 450.0
"""Heat that the slurry by the surface takes up a kelvin: about 100 g of water on 20 g of coffee;
chosen, no published source."""
VAPOUR_RISE_PER_K = 0.04
"""Relative, of water's vapour pressure about 85 °C; steam tables (from memory)."""
DRIP_GPS = 0.1
"""A bed that lets out less has drained: about two drops a second; common practice."""


def viscosity_pa_s(kettle_c: Celsius) -> float:
    """Of water: the Vogel form 2.414e-5 · 10^(247.8 / (T - 140 K)) (from memory), good to 2.5 %."""
    return float(2.414e-5 * 10 ** (247.8 / (kettle_c + 273.15 - 140)))


def vapour_pressure_pa(surface_c: Celsius) -> float:
    """Of water, 1 to 100 °C: Antoine's equation with the constants 8.07131, 1730.63, 233.426 for
    mmHg (from memory)."""
    return float(133.322 * 10 ** (8.07131 - 1730.63 / (233.426 + surface_c)))


def evaporation_gps(kettle_c: Celsius) -> GramsPerSecond:
    """From still hot water: Carrier's 0.089 W/(m² Pa) · (pressure difference) / latent heat.

    Carrier 1918, as in the ASHRAE handbook (from memory).
    """
    excess_pa = vapour_pressure_pa(kettle_c - SURFACE_BELOW_KETTLE_C) - ROOM_VAPOUR_PA
    return 1000 * 0.089 * excess_pa / LATENT_HEAT_JPKG * VAPOUR_AREA_M2


class BedModel:
    """Wets, fills, drains by Darcy's law.

    Water above what the bed keeps drains with ``K A (h + L) / L`` while it stands ``h`` above a
    bed of thickness ``L``, and ever more slowly while it only fills the pores.
    """

    def __init__(
        self,
        dose_g: Grams,
        permeability_m2: float,
        kettle_c: Celsius = USUAL_KETTLE_C,
        step_s: Seconds = TICK_S,
        vapour_gps: GramsPerSecond | None = None,
    ) -> None:
        """``vapour_gps``: what the bed gives off while it is as hot as it gets, less and less as
        that cools it. By default the usual, at all times.
        """
        self._step_s = step_s
        self._cools_by = 0.0
        """In one step, as a share, of what goes off."""
        self._warmth = 1.0
        self._keeps_g = RETAINED_G_PER_G * dose_g
        area_m2 = BED_AREA_M2_AT_20_G * (dose_g / 20.0) ** (2 / 3)
        volume_m3 = dose_g / BULK_DENSITY_GPCM3 * 1e-6
        thickness_m = volume_m3 / area_m2
        conductivity_mps = (
            permeability_m2 * DENSITY_KGPM3 * STANDARD_GRAVITY / viscosity_pa_s(kettle_c)
        )
        self._pores_g = DRAINABLE_POROSITY * volume_m3 * DENSITY_KGPM3 * 1000
        self._unit_gps = conductivity_mps * area_m2 * DENSITY_KGPM3 * 1000
        self._bed_column_g = thickness_m * area_m2 * DENSITY_KGPM3 * 1000
        self._vapour_gps = evaporation_gps(kettle_c) if vapour_gps is None else vapour_gps
        if vapour_gps is not None:
            cooling_kps = vapour_gps * 1e-3 * LATENT_HEAT_JPKG / SLURRY_JPK
            self._cools_by = VAPOUR_RISE_PER_K * cooling_kps * step_s
        self.held_g: Grams = 0.0
        """In the brewer: kept by the bed, in its pores and above it."""
        self.drained_g: Grams = 0.0
        self.evaporated_g: Grams = 0.0
        self.outflow_gps: GramsPerSecond = 0.0

    @property
    def free_g(self) -> Grams:
        """Water in the brewer that will drain."""
        return max(self.held_g - self._keeps_g, 0.0)

    @property
    def retained_g(self) -> Grams:
        """Water that the bed keeps."""
        return min(self.held_g, self._keeps_g)

    def step(self, landing_gps: GramsPerSecond) -> None:
        """Let one step pass with this flow landing."""
        held_g = self.held_g + landing_gps * self._step_s
        free_g = held_g - self._keeps_g
        if free_g > 0:
            above_g = free_g - self._pores_g
            if above_g > 0:
                outflow_gps = self._unit_gps * (1 + above_g / self._bed_column_g)
            else:
                outflow_gps = self._unit_gps * free_g / self._pores_g
            out_g = min(outflow_gps * self._step_s, free_g)
            held_g -= out_g
            self.drained_g += out_g
            self.outflow_gps = out_g / self._step_s
        else:
            self.outflow_gps = 0.0
        if held_g > 0:
            self._warmth = 1.0 if landing_gps > 0 else self._warmth * (1 - self._cools_by)
            vapour_g = min(self._vapour_gps * self._warmth * self._step_s, held_g)
            held_g -= vapour_g
            self.evaporated_g += vapour_g
        self.held_g = held_g


@lru_cache(maxsize=64)
def fitted_permeability_m2(plan: Plan) -> float:
    """The permeability with which a brew poured just as planned drains at the planned finish.

    Fitted, because no measured permeability of a hand-brewed filter bed was found; Kozeny and
    Carman's formula on the mean grain size drains many times too fast. Bisects over
    1e-13…1e-9 m² and stays at the end of that range where the plan cannot be met.
    """
    low, high = math.log(1e-13), math.log(1e-9)
    for _ in range(20):
        middle = (low + high) / 2
        if _drained_s(plan, math.exp(middle)) > plan.finish_s:
            low = middle
        else:
            high = middle
    return math.exp(high)


def _drained_s(plan: Plan, permeability_m2: float) -> Seconds:
    step_s = 0.5
    bed = BedModel(plan.dose_g, permeability_m2, plan.temperature_c or USUAL_KETTLE_C, step_s)
    poured_s = plan.stage_end_s(len(plan.stages) - 1)
    brew_s, poured_g = 0.0, 0.0
    while brew_s < poured_s or (bed.outflow_gps > DRIP_GPS and brew_s <= plan.finish_s):
        brew_s += step_s
        target_g = plan.target_g(brew_s)
        bed.step((target_g - poured_g) / step_s)
        poured_g = target_g
    return brew_s
