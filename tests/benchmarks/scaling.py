"""How near the saturation index comes to PHREEQC, and how near the short form does.

Run: ``python -m tests.benchmarks.scaling``. Every combination below of pH, calcium, magnesium,
alkalinity and sulphate, balanced with sodium or chloride: at 25 °C as read, heated to 93 °C closed
(alkalinity and total carbon held), and heated open (at rest with the air's carbon dioxide).
phreeqc.dat throughout. The second half leaves out of ours what a brewer may not know.
"""

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import product

from phreeqpython import PhreeqPython

from pourcoach.brewing.water.carbonate import AIR_CO2_ATM
from pourcoach.brewing.water.langelier_short_form import short_form_saturation_ph
from pourcoach.brewing.water.scaling import COLD_C, HOT_C, scaling
from pourcoach.brewing.water.water import Water

PHS = (6.0, 6.5, 7.0, 7.5, 8.0, 8.4, 8.8, 9.3)
CALCIUM_MGL = (17.0, 68.0, 150.0, 300.0)
MAGNESIUM_MGL = (0.0, 40.0, 120.0)
ALKALINITY_MGL = (15.0, 40.0, 100.0, 250.0)
SULPHATE_MGL = (0.0, 50.0, 200.0)
TOLERANCE = 0.08
# PHREEQC wants more than nothing.
_TRACE_MGL = 1e-9
_SODIUM_G, _CHLORIDE_G = 22.98977, 35.453


@dataclass(frozen=True, slots=True)
class Reference:
    """PHREEQC's own figures for one water."""

    cold: float
    closed: float
    opened: float
    closed_ph: float
    sodium_mgl: float
    tds_mgl: float


def by_phreeqc(engine: PhreeqPython, water: Water, hot_c: float = HOT_C) -> Reference:
    """Saturation index of calcite as read, heated closed, and heated open."""
    calcium = water.calcium_hardness_mgl or 0.0
    magnesium = water.magnesium_hardness_mgl or 0.0
    alkalinity, sulphate = water.alkalinity_mgl or 0.0, water.sulphate_mgl or 0.0
    sodium = water.sodium_mgl or 0.0
    excess = (calcium + magnesium - alkalinity) / 50.04345 - sulphate / 48.03
    excess += sodium / _SODIUM_G
    balance = (
        {"Na": f"{sodium + _TRACE_MGL}", "Cl": "1 charge"}
        if excess > 0
        else {"Na": f"{sodium + 1} charge"}
    )
    read = engine.add_solution(
        {
            "units": "mg/l",
            "temp": COLD_C,
            "pH": water.ph,
            "Ca": calcium * 40.078 / 100.0869,
            "Mg": magnesium * 24.305 / 100.0869 + _TRACE_MGL,
            "Alkalinity": f"{alkalinity} as CaCO3",
            "S(6)": f"{sulphate + _TRACE_MGL} as SO4",
            **balance,
        }
    )
    sodium_mgl = 1000.0 * read.total("Na", "mol") * _SODIUM_G
    closed = read.copy()
    closed.change_temperature(hot_c)
    opened = closed.copy()
    opened.equalize(["CO2(g)"], [math.log10(AIR_CO2_ATM)])
    found = Reference(
        read.si("Calcite"),
        closed.si("Calcite"),
        opened.si("Calcite"),
        closed.pH,
        sodium_mgl,
        calcium * 40.078 / 100.0869
        + magnesium * 24.305 / 100.0869
        + alkalinity * 61.0168 / 50.04345
        + sulphate
        + sodium_mgl
        + 1000.0 * read.total("Cl", "mol") * _CHLORIDE_G,
    )
    for solution in (read, closed, opened):
        solution.forget()
    return found


def grid() -> list[Water]:
    return [
        Water(
            ph=ph,
            calcium_hardness_mgl=calcium,
            magnesium_hardness_mgl=magnesium,
            alkalinity_mgl=alkalinity,
            sulphate_mgl=sulphate,
        )
        for ph, calcium, magnesium, alkalinity, sulphate in product(
            PHS, CALCIUM_MGL, MAGNESIUM_MGL, ALKALINITY_MGL, SULPHATE_MGL
        )
    ]


def main() -> None:
    engine = PhreeqPython()
    off: dict[tuple[str, str], list[float]] = defaultdict(list)
    for water in grid():
        reference = by_phreeqc(engine, water)
        known = {
            "all ions known": replace(water, sodium_mgl=reference.sodium_mgl),
            "sodium unknown": water,
            "by dissolved solids": replace(water, tds_mgl=reference.tds_mgl),
            "sulphate unknown": replace(water, sulphate_mgl=None),
            "magnesium unknown": replace(water, magnesium_hardness_mgl=None),
            "both unknown": replace(water, sulphate_mgl=None, magnesium_hardness_mgl=None),
        }
        for what, water in known.items():
            for vessel, one, true in zip(
                ("cold", "closed", "open"),
                scaling(water, HOT_C),
                (reference.cold, reference.closed, reference.opened),
                strict=True,
            ):
                error = one.saturation_index - true
                off[what, vessel].append(error)
                if what == "all ions known":
                    off[f"  of pH {water.ph}", vessel].append(error)
        for what, vessel, t, true in (
            ("short form", "cold", COLD_C, reference.cold),
            ("short form", "closed", HOT_C, reference.closed),
        ):
            saturation_ph = short_form_saturation_ph(
                reference.tds_mgl, t, water.calcium_hardness_mgl or 0.0, water.alkalinity_mgl or 0.0
            )
            off[what, vessel].append((water.ph or 0.0) - saturation_ph - true)
    print(f"{'against PHREEQC':<22}{'':<8}{'waters':>8}{'over 0.08':>11}", end="")
    print(f"{'lowest':>9}{'mean':>9}{'highest':>9}")
    for (what, vessel), errors in sorted(off.items()):
        outside = sum(abs(error) > TOLERANCE for error in errors)
        mean = sum(errors) / len(errors)
        print(f"{what:<22}{vessel:<8}{len(errors):8}{outside:11}", end="")
        print(f"{min(errors):+9.3f}{mean:+9.3f}{max(errors):+9.3f}")


if __name__ == "__main__":
    main()
