"""Whether a water lays down scale: the calcite saturation index, cold as read and hot.

Heating moves the pH, so a hot water is worked out twice. In a closed vessel alkalinity and total
carbon stay; in an open one carbon dioxide goes to the air until both are at rest, the pH rises, and
that is the most the index comes to. Against PHREEQC (phreeqc.dat), heated from 25 to 93 °C over pH
6-9.3 with magnesium and sulphate, both lie within 0.05 where the ions are known, and within 0.08
where dissolved solids stand for sodium. Magnesium or sulphate that is there and not known makes the
index read too high, by up to 0.3 with 200 mg/L of sulphate or 120 mg/L of magnesium hardness, the
more the higher the pH. No salt is taken to come down on the way.
"""

import math
from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.water.carbonate import (
    Carbonates,
    Dissolved,
    at_ph,
    heated_closed,
    heated_open,
    log_k_calcite,
)
from pourcoach.brewing.water.units import CACO3, CACO3_EQUIVALENT, SODIUM, SULPHATE
from pourcoach.brewing.water.water import LEAST_CALCIUM_SHARE, Water
from pourcoach.brewing.working import Working
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Celsius

VALID_C = (0.0, 100.0)
# APHA 2330 B's rough rule from dissolved solids in mg/L to ionic strength in mol/L.
_TDS_PER_IONIC_STRENGTH = 40_000.0

# The temperature that a pH is taken to be read at, and that of brew water.
COLD_C = 25.0
HOT_C = 93.0

# Nothing that a kit could find: no index can be made of it.
_TRACE_MGL = 0.1

# Common practice: within half a unit of balance, water neither scales nor dissolves much.
_BALANCE = 0.5


class Vessel(Enum):
    """What the water was heated in."""

    AS_READ = "as read"
    """Not heated: at the temperature of the pH reading."""
    CLOSED = "closed"
    """A boiler, or any water just heated: nothing gets in or out."""
    OPEN = "open"
    """A kettle left hot or boiled: carbon dioxide gone until it is at rest with the air."""


@dataclass(frozen=True, slots=True)
class Scaling:
    """The tendency at one temperature."""

    temperature_c: Celsius
    vessel: Vessel
    ph: float
    """As read at 25 °C, or as it comes to be by heating."""
    saturation_index: float
    """Decimal log of ion product over solubility product: above 0, calcite can come down."""
    least_index: float
    """The same where only the total hardness is known and half of it is calcium, the least in most
    natural waters; else equal to ``saturation_index``."""
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
        if self.least_index > _BALANCE:
            return "lays down scale"
        if self.saturation_index > _BALANCE:
            return "may lay down scale, if most of the hardness is calcium"
        if self.saturation_index < -_BALANCE:
            return "dissolves scale, and may attack metal"
        return "near balance"


def scaling(water: Water, hot_c: Celsius) -> tuple[Scaling, ...]:
    """As read at 25 °C, and at ``hot_c`` closed and open; empty where too little is known.

    Needs pH, alkalinity, and calcium or total hardness, more than a trace of each. Raises
    UsageError outside 0-100 °C and for a pH that the alkalinity cannot have.
    """
    if not VALID_C[0] <= hot_c <= VALID_C[1]:
        raise UsageError(f"{hot_c:g} °C is outside this formula", "use 0 to 100 °C")
    ph, alkalinity = water.ph, water.alkalinity_mgl
    at_most = water.calcium_hardness_mgl is None
    calcium = water.total_hardness_mgl if at_most else water.calcium_hardness_mgl
    if ph is None or calcium is None or alkalinity is None:
        return ()
    if min(calcium, alkalinity) < _TRACE_MGL:
        return ()
    most = _indices(dissolved(water, calcium), ph, hot_c)
    if most[0].total <= 0.0:
        raise UsageError(
            f"an alkalinity of {alkalinity:g} mg/L does not go with pH {ph:g}",
            "look at both readings",
        )
    least = most
    if at_most:
        least = _indices(dissolved(water, LEAST_CALCIUM_SHARE * calcium), ph, hot_c)
    return tuple(
        _scaling(vessel, now, lower, dissolved(water, calcium), alkalinity, at_most)
        for vessel, now, lower in zip(Vessel, most, least, strict=True)
    )


def _indices(ions: Dissolved, ph: float, hot_c: Celsius) -> tuple[Carbonates, ...]:
    read = at_ph(ions, ph, COLD_C)
    return read, heated_closed(ions, read, hot_c), heated_open(ions, hot_c)


_WHENCE = {
    Vessel.AS_READ: "pH as read",
    Vessel.CLOSED: "closed: pH from alkalinity and total carbon, which stay",
    Vessel.OPEN: "open: pH from alkalinity and the air's carbon dioxide, 420 ppm",
}


def _scaling(
    vessel: Vessel,
    now: Carbonates,
    lower: Carbonates,
    ions: Dissolved,
    alkalinity_mgl: float,
    at_most: bool,
) -> Scaling:
    index = now.saturation_index
    saturation_ph = now.ph - index
    solubility = log_k_calcite(now.temperature_c)
    return Scaling(
        now.temperature_c,
        vessel,
        now.ph,
        index,
        lower.saturation_index,
        2.0 * saturation_ph - now.ph,
        puckorius_index(saturation_ph, alkalinity_mgl),
        at_most,
        Working(
            "SI = log (calcium × carbonate) - log K of calcite, both as activities, without pairs",
            f"{now.temperature_c:g} °C, {_WHENCE[vessel]}: pH {now.ph:.2f}, "
            f"{index + solubility:.2f} - ({solubility:.2f}) = {index:+.2f} "
            f"(ionic strength {ions.ionic_strength:.4f} mol/L)",
            "constants of Plummer & Busenberg 1982, pairs as in phreeqc.dat (USGS), activities "
            "after Davies; checked against PHREEQC",
        ),
    )


def puckorius_index(saturation_ph: float, alkalinity_mgl: float) -> float:
    """2 pHs - pHeq with pHeq = 1.465 log10(alkalinity as CaCO3) + 4.54.

    Puckorius & Brooke 1991, from memory; the worked example in the tests agrees.
    """
    return 2.0 * saturation_ph - (1.465 * math.log10(alkalinity_mgl) + 4.54)


def dissolved(water: Water, calcium_mgl: float) -> Dissolved:
    """The ions in mol/L, with so much calcium hardness (as CaCO3). What is unknown is left out.

    The ionic strength comes from the ions where sodium is known or dissolved solids are not, else
    from those. What the known ions leave unbalanced counts as sodium or as chloride.
    """
    calcium = calcium_mgl / CACO3 / 1000.0
    magnesium_mgl = water.magnesium_hardness_mgl
    if magnesium_mgl is None and water.hardness_mgl is not None:
        magnesium_mgl = max(0.0, water.hardness_mgl - calcium_mgl)
    magnesium = (magnesium_mgl or 0.0) / CACO3 / 1000.0
    alkalinity = (water.alkalinity_mgl or 0.0) / CACO3_EQUIVALENT / 1000.0
    sulphate = (water.sulphate_mgl or 0.0) / SULPHATE / 1000.0
    sodium = (water.sodium_mgl or 0.0) / SODIUM / 1000.0
    excess = 2.0 * (calcium + magnesium) + sodium - alkalinity - 2.0 * sulphate
    ionic_strength = 0.5 * (
        4.0 * (calcium + magnesium + sulphate) + sodium + alkalinity + abs(excess)
    )
    if water.sodium_mgl is None and water.tds_mgl is not None:
        ionic_strength = water.tds_mgl / _TDS_PER_IONIC_STRENGTH
    return Dissolved(
        calcium=calcium,
        alkalinity=alkalinity,
        ionic_strength=ionic_strength,
        magnesium=magnesium,
        sodium=sodium + max(0.0, -excess),
        sulphate=sulphate,
    )
