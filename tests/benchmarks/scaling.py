"""How near the saturation index comes to PHREEQC, and how near the short form does.

Run: ``python -m tests.benchmarks.scaling``. Every combination of pH, calcium, alkalinity, sodium
and temperature below, pH held, balanced with sodium or chloride, phreeqc.dat.
"""

from itertools import product

from phreeqpython import PhreeqPython

from pourcoach.brewing.langelier_short_form import short_form_saturation_ph
from pourcoach.brewing.scaling import ionic_strength_mol_per_l, saturation_index
from pourcoach.brewing.water import Water

PHS = (6.0, 6.5, 7.0, 7.5, 8.0, 8.5)
CALCIUM_MGL = (10, 17, 40, 68, 100, 150, 300)
ALKALINITY_MGL = (15, 25, 40, 70, 100, 200, 300)
SODIUM_MGL = (0, 10, 80)
TEMPERATURES_C = (5, 15, 25, 40, 60, 80, 93, 95)
TOLERANCE = 0.08


def main() -> None:
    engine = PhreeqPython()
    off: dict[str, list[float]] = {"from ions": [], "from dissolved solids": [], "short form": []}
    for ph, calcium, alkalinity, sodium, t in product(
        PHS, CALCIUM_MGL, ALKALINITY_MGL, SODIUM_MGL, TEMPERATURES_C
    ):
        reference, tds_mgl = by_phreeqc(engine, ph, calcium, alkalinity, sodium, t)
        with_ions = Water(sodium_mgl=sodium)
        with_solids = Water(tds_mgl=tds_mgl)
        for name, water in (("from ions", with_ions), ("from dissolved solids", with_solids)):
            strength = ionic_strength_mol_per_l(water, calcium, alkalinity)
            off[name].append(saturation_index(ph, calcium, alkalinity, strength, t) - reference)
        short = ph - short_form_saturation_ph(tds_mgl, t, calcium, alkalinity)
        off["short form"].append(short - reference)
    print(f"{'against PHREEQC':<24}{'waters':>8}{'over 0.08':>11}{'lowest':>9}{'highest':>9}")
    for name, errors in off.items():
        outside = sum(abs(error) > TOLERANCE for error in errors)
        print(f"{name:<24}{len(errors):8}{outside:11}{min(errors):+9.3f}{max(errors):+9.3f}")


def by_phreeqc(
    engine: PhreeqPython, ph: float, calcium: float, alkalinity: float, sodium: float, t: float
) -> tuple[float, float]:
    """Saturation index of calcite, and dissolved solids in mg/L as the sum of the ions."""
    excess = calcium / 50.04345 + sodium / 22.98977 - alkalinity / 50.04345
    balance = {"Na": sodium, "Cl": "1 charge"} if excess > 0 else {"Na": f"{sodium + 1} charge"}
    solution = engine.add_solution(
        {
            "units": "mg/l",
            "temp": t,
            "pH": ph,
            "Ca": calcium * 40.078 / 100.0869,
            "Alkalinity": f"{alkalinity} as CaCO3",
            **balance,
        }
    )
    index = float(solution.si("Calcite"))
    tds_mgl = (
        calcium * 40.078 / 100.0869
        + alkalinity * 61.0168 / 50.04345
        + solution.total("Na") * 22.98977
        + solution.total("Cl") * 35.453
    )
    solution.forget()
    return index, tds_mgl


if __name__ == "__main__":
    main()
