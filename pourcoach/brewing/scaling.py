"""Whether a water lays down scale: the calcite saturation index and the Ryznar index.

The form is that of APHA Standard Methods 2330 B (layout from memory): activity coefficients
after Davies, bicarbonate from alkalinity by mass balance, and the two ion pairs of calcium with
carbonate, all by the constants of Plummer & Busenberg 1982. Within 0.05 of PHREEQC's
phreeqc.dat over 5-95 °C, as the tests show. pH is held while the temperature changes, as in a
closed vessel; an open kettle loses carbon dioxide, its pH rises, and scale is worse than this.
"""

import math
from dataclasses import dataclass

from pourcoach.brewing.water import Water
from pourcoach.brewing.water_units import (
    CACO3,
    CACO3_EQUIVALENT,
    SODIUM,
)
from pourcoach.brewing.working import Working
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Celsius

_ZERO_C_K = 273.15
VALID_C = (0.0, 100.0)
# APHA 2330 B's rough rule from dissolved solids in mg/L to ionic strength in mol/L.
_TDS_PER_IONIC_STRENGTH = 40_000.0
_STEPS = 50

# The temperature that tables of the index are given for, and that of brew water.
COLD_C = 25.0
HOT_C = 93.0

# Nothing that a kit could find: no index can be made of it.
_TRACE_MGL = 0.1

# Common practice: within half a unit of balance, water neither scales nor dissolves much.
_BALANCE = 0.5


def log_k2(temperature_c: Celsius) -> float:
    """Second dissociation of carbonic acid (Plummer & Busenberg 1982)."""
    t = temperature_c + _ZERO_C_K
    return -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * math.log10(t) - 563713.9 / t**2


def log_k_calcite(temperature_c: Celsius) -> float:
    """Solubility product of calcite (Plummer & Busenberg 1982)."""
    t = temperature_c + _ZERO_C_K
    return -171.9065 - 0.077993 * t + 2839.319 / t + 71.595 * math.log10(t)


def log_k_bicarbonate_pair(temperature_c: Celsius) -> float:
    """Ca²⁺ + HCO₃⁻ = CaHCO₃⁺ (Plummer & Busenberg 1982)."""
    t = temperature_c + _ZERO_C_K
    return 1209.120 + 0.31294 * t - 34765.05 / t - 478.782 * math.log10(t)


def log_k_carbonate_pair(temperature_c: Celsius) -> float:
    """Ca²⁺ + CO₃²⁻ = CaCO₃ dissolved (Plummer & Busenberg 1982)."""
    t = temperature_c + _ZERO_C_K
    return -1228.732 - 0.299444 * t + 35512.75 / t + 485.818 * math.log10(t)


def log_kw(temperature_c: Celsius) -> float:
    """Ion product of water (APHA 2330 B, from memory)."""
    t = temperature_c + _ZERO_C_K
    return -4471.0 / t - 0.01706 * t + 6.0875


def activity_term(temperature_c: Celsius, ionic_strength: float) -> float:
    """pfm: minus the log10 of a monovalent ion's activity coefficient; z² times for others."""
    t = temperature_c + _ZERO_C_K
    dielectric = 60_954.0 / (t + 116.0) - 68.937
    a = 1.82e6 * (dielectric * t) ** -1.5
    root = math.sqrt(ionic_strength)
    return float(a * (root / (1.0 + root) - 0.3 * ionic_strength))


@dataclass(frozen=True, slots=True)
class Scaling:
    """The tendency at one temperature."""

    temperature_c: Celsius
    saturation_index: float
    """Decimal log of ion product over solubility product: above 0, calcite can come down."""
    ryznar_index: float
    """2 pHs - pH: below about 6 scale is likely, above about 7 it is not (common practice)."""
    puckorius_index: float
    """Like Ryznar's, with the pH that the alkalinity holds in place of the one read."""
    at_most: bool
    """True where only the total hardness is known and all of it was taken as calcium."""
    working: Working

    @property
    def says(self) -> str:
        """In words."""
        if self.saturation_index > _BALANCE:
            return "lays down scale"
        if self.saturation_index < -_BALANCE:
            return "dissolves scale, and may attack metal"
        return "near balance"


def scaling(water: Water, temperature_c: Celsius) -> Scaling | None:
    """The tendency of that water at that temperature; None where too little is known.

    Needs pH, alkalinity, and calcium or total hardness, more than a trace of each. None also
    where a high pH, read cold, cannot be held at that heat. Raises UsageError outside 0-100 °C
    and for a pH that the alkalinity cannot have.
    """
    if not VALID_C[0] <= temperature_c <= VALID_C[1]:
        raise UsageError(f"{temperature_c:g} °C is outside this formula", "use 0 to 100 °C")
    ph, calcium, alkalinity = water.ph, water.calcium_hardness_mgl, water.alkalinity_mgl
    at_most = calcium is None
    calcium = water.total_hardness_mgl if calcium is None else calcium
    if ph is None or calcium is None or alkalinity is None:
        return None
    if min(calcium, alkalinity) < _TRACE_MGL:
        return None
    ionic_strength = ionic_strength_mol_per_l(water, calcium, alkalinity)
    if carbonates_mol_per_l(ph, alkalinity, ionic_strength, COLD_C) <= 0.0:
        raise UsageError(
            f"an alkalinity of {alkalinity:g} mg/L does not go with pH {ph:g}",
            "look at both readings",
        )
    if carbonates_mol_per_l(ph, alkalinity, ionic_strength, temperature_c) <= 0.0:
        return None
    index = saturation_index(ph, calcium, alkalinity, ionic_strength, temperature_c)
    saturation_ph = ph - index
    return Scaling(
        temperature_c,
        index,
        2.0 * saturation_ph - ph,
        puckorius_index(saturation_ph, alkalinity),
        at_most,
        Working(
            "SI = pH - pHs, pHs = pK2 - pKs + p[Ca] + p[HCO3] + 5 pfm",
            f"{temperature_c:g} °C: {ph:.2f} - {saturation_ph:.2f} = {index:+.2f} "
            f"(ionic strength {ionic_strength:.4f} mol/L)",
            "APHA 2330 B (layout from memory), constants of Plummer & Busenberg 1982; "
            "checked against PHREEQC",
        ),
    )


def puckorius_index(saturation_ph: float, alkalinity_mgl: float) -> float:
    """2 pHs - pHeq with pHeq = 1.465 log10(alkalinity as CaCO3) + 4.54.

    Puckorius & Brooke 1991, from memory; the worked example in the tests agrees.
    """
    return 2.0 * saturation_ph - (1.465 * math.log10(alkalinity_mgl) + 4.54)


def ionic_strength_mol_per_l(water: Water, calcium_mgl: float, alkalinity_mgl: float) -> float:
    """From the ions where sodium is known or dissolved solids are not, else from those.

    Calcium and alkalinity as CaCO3. What the ions leave unbalanced counts as sodium or chloride.
    """
    if water.sodium_mgl is None and water.tds_mgl is not None:
        return water.tds_mgl / _TDS_PER_IONIC_STRENGTH
    sodium = (water.sodium_mgl or 0.0) / SODIUM
    divalent = (calcium_mgl + (water.magnesium_hardness_mgl or 0.0)) / CACO3
    anions = alkalinity_mgl / CACO3_EQUIVALENT
    monovalent = sodium + anions + abs(2.0 * divalent + sodium - anions)
    return (4.0 * divalent + monovalent) / 2000.0


def carbonates_mol_per_l(
    ph: float, alkalinity_mgl: float, ionic_strength: float, temperature_c: Celsius
) -> float:
    """Bicarbonate and twice carbonate: the alkalinity that hydroxide and acid leave to them.

    Not above 0 where the alkalinity cannot have that pH.
    """
    one = 10.0 ** -activity_term(temperature_c, ionic_strength)
    hydrogen = 10.0**-ph / one
    hydroxide = 10.0 ** (log_kw(temperature_c) + ph) / one
    return float(alkalinity_mgl / CACO3_EQUIVALENT / 1000.0 - hydroxide + hydrogen)


def saturation_index(
    ph: float,
    calcium_hardness_mgl: float,
    alkalinity_mgl: float,
    ionic_strength: float,
    temperature_c: Celsius,
) -> float:
    """pH - pHs. Hardness and alkalinity in mg/L as CaCO3.

    Calcium and the carbonates of that alkalinity must be above 0.
    """
    pfm = activity_term(temperature_c, ionic_strength)
    one, two = 10.0**-pfm, 10.0 ** (-4.0 * pfm)
    calcium = calcium_hardness_mgl / CACO3 / 1000.0
    carbonates = carbonates_mol_per_l(ph, alkalinity_mgl, ionic_strength, temperature_c)
    carbonate_over_bicarbonate = 10.0 ** (log_k2(temperature_c) + ph) * one / two
    pair_1 = 10.0 ** log_k_bicarbonate_pair(temperature_c) * two
    pair_2 = 10.0 ** log_k_carbonate_pair(temperature_c) * two * two
    # Calcium and carbonate bind some of each other: solved by going round until both stand still.
    free_calcium, bicarbonate = calcium, 0.0
    for _ in range(_STEPS):
        before = bicarbonate
        bicarbonate = carbonates / (
            1.0
            + pair_1 * free_calcium
            + 2.0 * carbonate_over_bicarbonate * (1.0 + pair_2 * free_calcium)
        )
        free_calcium = calcium / (
            1.0 + bicarbonate * (pair_1 + pair_2 * carbonate_over_bicarbonate)
        )
        if abs(bicarbonate - before) <= 1e-12 * bicarbonate:
            break
    saturation_ph = (
        log_k_calcite(temperature_c)
        - log_k2(temperature_c)
        - math.log10(free_calcium)
        - math.log10(bicarbonate)
        + 5.0 * pfm
    )
    return ph - saturation_ph
