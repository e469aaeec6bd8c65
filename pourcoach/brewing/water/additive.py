"""Salts for building up a soft water, and concentrates made of them.

Compositions by molar mass (IUPAC weights). Only food-grade salts belong in a drink.
"""

from dataclasses import dataclass

from pourcoach.brewing.water.units import (
    BICARBONATE,
    CACO3,
    CACO3_EQUIVALENT,
    CALCIUM,
    CHLORIDE,
    MAGNESIUM,
    SODIUM,
    SULPHATE,
)
from pourcoach.domain.errors import UsageError
from pourcoach.domain.number import read_number

# More of a concentrate makes another water of it, and is better mixed stronger (common practice).
MOST_ADDED_G_PER_L = 50.0
_WATER = 18.0153
_POTASSIUM = 39.0983


@dataclass(frozen=True, slots=True)
class Additive:
    """What one gram of it brings to a litre of water, in mg/L."""

    name: str
    formula: str
    calcium_hardness_mgl: float = 0.0
    """As CaCO3, as the other two."""
    magnesium_hardness_mgl: float = 0.0
    alkalinity_mgl: float = 0.0
    sodium_mgl: float = 0.0
    sulphate_mgl: float = 0.0
    tds_mgl: float = 0.0
    """The ions, without the crystal's own water."""
    adds_ml: float = 0.0
    """To the volume: the water of a concentrate; 0 for a dry salt, whose crystal water is nothing
    beside a litre."""


def _salt(
    name: str, formula: str, molar_mass: float, crystal_water: int, *, ca: int = 0, mg: int = 0,
    alkalinity: int = 0, na: int = 0, so4: int = 0,
) -> Additive:  # fmt: skip
    whole_mass = molar_mass + crystal_water * _WATER
    per_mole = 1000.0 / whole_mass
    return Additive(
        name,
        formula + (f"·{crystal_water}H2O" if crystal_water else ""),
        calcium_hardness_mgl=ca * CACO3 * per_mole,
        magnesium_hardness_mgl=mg * CACO3 * per_mole,
        alkalinity_mgl=alkalinity * CACO3_EQUIVALENT * per_mole,
        sodium_mgl=na * SODIUM * per_mole,
        sulphate_mgl=so4 * SULPHATE * per_mole,
        tds_mgl=molar_mass * per_mole,
    )


_CACL2 = CALCIUM + 2 * CHLORIDE
_MGSO4 = MAGNESIUM + SULPHATE
_MGCL2 = MAGNESIUM + 2 * CHLORIDE

SALTS: dict[str, Additive] = {
    salt.name: salt
    for salt in (
        _salt("calcium-chloride-dihydrate", "CaCl2", _CACL2, 2, ca=1),
        _salt("calcium-chloride-anhydrous", "CaCl2", _CACL2, 0, ca=1),
        _salt("calcium-chloride-hexahydrate", "CaCl2", _CACL2, 6, ca=1),
        _salt("magnesium-sulphate-heptahydrate", "MgSO4", _MGSO4, 7, mg=1, so4=1),
        _salt("magnesium-sulphate-anhydrous", "MgSO4", _MGSO4, 0, mg=1, so4=1),
        _salt("magnesium-chloride-hexahydrate", "MgCl2", _MGCL2, 6, mg=1),
        _salt("magnesium-chloride-anhydrous", "MgCl2", _MGCL2, 0, mg=1),
        _salt("baking-soda", "NaHCO3", SODIUM + BICARBONATE, 0, alkalinity=1, na=1),
        _salt("potassium-bicarbonate", "KHCO3", _POTASSIUM + BICARBONATE, 0, alkalinity=1),
    )
}
# What is sold under the plain name, as a rule (common practice).
_PLAIN_NAMES = {
    "calcium-chloride": "calcium-chloride-dihydrate",
    "epsom-salt": "magnesium-sulphate-heptahydrate",
    "magnesium-sulphate": "magnesium-sulphate-heptahydrate",
    "magnesium-chloride": "magnesium-chloride-hexahydrate",
}
SALT_NAMES = (*_PLAIN_NAMES, *SALTS)


def other_forms(salt: Additive) -> tuple[Additive, ...]:
    """The same salt with another amount of crystal water."""
    dry = salt.formula.partition("·")[0]
    return tuple(
        one
        for one in SALTS.values()
        if one.formula.partition("·")[0] == dry and one.name != salt.name
    )


def concentrate(salt: Additive, grams_per_kg: float) -> Additive:
    """A solution with that much salt in a kilogram of it, as an additive by its own mass.

    Raises UsageError unless 0 < grams_per_kg <= 200, which every salt here dissolves at.
    """
    if not 0.0 < grams_per_kg <= 200.0:
        raise UsageError(
            f"a concentrate of {grams_per_kg:g} g/kg cannot be mixed", "use up to 200 g/kg"
        )
    share = grams_per_kg / 1000.0
    return Additive(
        f"{salt.name} at {grams_per_kg:g} g/kg",
        f"{salt.formula} dissolved",
        salt.calcium_hardness_mgl * share,
        salt.magnesium_hardness_mgl * share,
        salt.alkalinity_mgl * share,
        salt.sodium_mgl * share,
        salt.sulphate_mgl * share,
        salt.tds_mgl * share,
        adds_ml=1.0 - share,
    )


def additive(text: str) -> Additive:
    """Read ``baking-soda`` or ``baking-soda@10``, a concentrate of 10 g/kg; or a formula."""
    given, at, strength = text.partition("@")
    formulas = {_plain_formula(salt.formula): salt.name for salt in SALTS.values()}
    name = _PLAIN_NAMES.get(given, formulas.get(_plain_formula(given), given))
    if name not in SALTS:
        raise UsageError(f"unknown salt {given!r}", "known ones are " + ", ".join(SALT_NAMES))
    if not at:
        return SALTS[name]
    try:
        grams_per_kg = read_number(strength)
    except UsageError:
        raise UsageError(
            f"{strength!r} is no concentration", "write baking-soda@10 for 10 g/kg"
        ) from None
    return concentrate(SALTS[name], grams_per_kg)


def _plain_formula(text: str) -> str:
    """``CaCl2·2H2O``, ``CaCl2.2H2O`` and ``cacl2*2h2o`` are one."""
    return text.lower().replace("·", "").replace(".", "").replace("*", "").replace(" ", "")
