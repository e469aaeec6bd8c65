import math
from dataclasses import replace

import pytest

from pourcoach.domain.plan import Plan, Stage
from pourcoach.simulation.bed import (
    BED_AREA_M2_AT_20_G,
    BULK_DENSITY_GPCM3,
    DENSITY_KGPM3,
    DRAINABLE_POROSITY,
    DRIP_GPS,
    BedModel,
    evaporation_gps,
    fitted_permeability_m2,
    vapour_pressure_pa,
    viscosity_pa_s,
)

PLAN = Plan(20, 16, 320, 35, 190, (Stage("bloom", 0, 40, 5), Stage("pour 1", 35, 320, 5)))


@pytest.mark.parametrize(
    ("celsius", "mu_mpas"), [(20, 1.00160), (80, 0.35406), (90, 0.31418), (96, 0.29387)]
)
def test_viscosity_against_iapws(celsius: float, mu_mpas: float) -> None:
    # IAPWS R12-08 with IAPWS-IF97 density at 101 325 Pa.
    assert viscosity_pa_s(celsius) == pytest.approx(mu_mpas * 1e-3, rel=0.025)


@pytest.mark.parametrize(("celsius", "kpa"), [(90, 70.181), (85, 57.87), (100, 101.42)])
def test_vapour_pressure_against_steam_tables(celsius: float, kpa: float) -> None:
    # 90 °C: Chaplin, Water Structure and Science, explained data; the others from memory.
    assert vapour_pressure_pa(celsius) == pytest.approx(kpa * 1e3, rel=0.005)


def test_hot_water_goes_off_by_a_gram_or_so_in_a_brew() -> None:
    assert 0.2 < evaporation_gps(93) * 60 < 1.5
    assert evaporation_gps(96) > evaporation_gps(88)


def test_a_bed_takes_up_twice_its_weight_before_it_drips() -> None:
    bed = BedModel(20.0, 1e-11)
    while bed.drained_g == 0:
        bed.step(5.0)
    assert bed.retained_g + bed.evaporated_g == pytest.approx(40, abs=0.1)


def test_a_standing_column_falls_as_darcy_says() -> None:
    # Falling head, t = L / K · ln(H0 / H1) with H from the foot of the bed (the form of ISO
    # 17892-11), as long as water stands above the bed. K = k ρ g / μ.
    permeability_m2 = 1e-11
    bed = BedModel(20.0, permeability_m2, step_s=0.005)
    length_m = 20.0 / BULK_DENSITY_GPCM3 * 1e-6 / BED_AREA_M2_AT_20_G
    pores_g = DRAINABLE_POROSITY * length_m * BED_AREA_M2_AT_20_G * DENSITY_KGPM3 * 1e3

    def head_m() -> float:
        return length_m + (bed.free_g - pores_g) / (DENSITY_KGPM3 * 1e3 * BED_AREA_M2_AT_20_G)

    bed.held_g = 40.0 + pores_g + 120.0
    begin_m, seconds = head_m(), 30.0
    for _ in range(round(seconds / 0.005)):
        bed.step(evaporation_gps(93.0))  # make good what goes off, which Darcy knows nothing of
    conductivity_mps = permeability_m2 * DENSITY_KGPM3 * 9.80665 / viscosity_pa_s(93.0)
    assert length_m / conductivity_mps * math.log(begin_m / head_m()) == pytest.approx(
        seconds, rel=0.001
    )


def test_a_bed_drains_the_more_slowly_the_cooler_it_is() -> None:
    def drained_g(kettle_c: float) -> float:
        bed = BedModel(20.0, 1e-11, kettle_c)
        bed.held_g = 200.0
        for _ in range(4000):
            bed.step(0.0)
        return bed.drained_g

    assert drained_g(85) < drained_g(93) < drained_g(96)


@pytest.mark.parametrize("finish_s", [150, 190, 240])
def test_the_fitted_bed_drains_when_planned(finish_s: float) -> None:
    plan = replace(PLAN, finish_s=finish_s)
    bed = BedModel(plan.dose_g, fitted_permeability_m2(plan), step_s=0.1)
    poured_g, brew_s = 0.0, 0.0
    while brew_s < 100 or bed.outflow_gps > DRIP_GPS:
        brew_s += 0.1
        bed.step((plan.target_g(brew_s) - poured_g) / 0.1)
        poured_g = plan.target_g(brew_s)
    assert brew_s == pytest.approx(finish_s, abs=2)


def test_the_fitted_permeability_is_that_of_a_slow_sand() -> None:
    # Between packed espresso beds, 1e-14 to 1e-13 m² (Corrochano and others 2015), and what
    # Kozeny and Carman's formula gives for loose grains of 0.5 mm, 2.5e-10 m².
    assert 1e-13 < fitted_permeability_m2(PLAN) < 2.5e-10


def test_a_bed_gives_off_what_was_ordered_and_less_as_it_cools() -> None:
    bed = BedModel(20.0, 1e-11, step_s=0.1, vapour_gps=0.05)
    for _ in range(100):
        bed.step(5.0)
    assert bed.evaporated_g == pytest.approx(10 * 0.05, rel=0.01)
    gone_g = []
    for _ in range(2):
        before_g = bed.evaporated_g
        for _ in range(300):
            bed.step(0.0)
        gone_g.append(bed.evaporated_g - before_g)
    assert gone_g[1] < gone_g[0] < 30 * 0.05
    # 0.05 g/s take 2.29 kJ/g from 450 J/K: 0.25 K/s, at 4 % a kelvin 1 % a second.
    assert gone_g[1] / gone_g[0] == pytest.approx(math.exp(-0.01 * 30), rel=0.05)
