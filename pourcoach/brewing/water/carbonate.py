"""Carbonate in water with calcium, magnesium and sulphate: what is there, at which pH and heat.

Equilibria of Plummer & Busenberg 1982 for carbon dioxide, carbonate and their pairs with calcium;
the pairs with magnesium and sodium, and of all three with sulphate, as the USGS tabulates them for
PHREEQC (file phreeqc.dat). Activity coefficients after Davies. Concentrations in mol/L, alkalinity
in eq/L.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from pourcoach.domain.units import Celsius

_ZERO_C_K = 273.15
_KCAL_OVER_R_LN10_K = 4184.0 / (8.314462618 * math.log(10.0))
_ROOM_K = 298.15
_STEPS = 60
# No water that anybody brews with lies outside; the search for a pH is kept in here.
_PH_RANGE = (2.0, 12.5)
# Of that range, to a billionth of a pH: far finer than any reading.
_HALVINGS = 34
# Carbon dioxide in air, by volume: about 420 ppm (NOAA, 2023, from memory), at one atmosphere.
AIR_CO2_ATM = 420e-6


def log_k1(temperature_c: Celsius) -> float:
    """CO₂ + H₂O = H⁺ + HCO₃⁻ (Plummer & Busenberg 1982)."""
    t = temperature_c + _ZERO_C_K
    return -356.3094 - 0.06091964 * t + 21834.37 / t + 126.8339 * math.log10(t) - 1684915.0 / t**2


def log_k2(temperature_c: Celsius) -> float:
    """Second dissociation of carbonic acid (Plummer & Busenberg 1982)."""
    t = temperature_c + _ZERO_C_K
    return -107.8871 - 0.03252849 * t + 5151.79 / t + 38.92561 * math.log10(t) - 563713.9 / t**2


def log_k_henry(temperature_c: Celsius) -> float:
    """CO₂ gas = CO₂ dissolved, mol/L at one atmosphere (Plummer & Busenberg 1982)."""
    t = temperature_c + _ZERO_C_K
    return 108.3865 + 0.01985076 * t - 6919.53 / t - 40.45154 * math.log10(t) + 669365.0 / t**2


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


def log_k_magnesium_bicarbonate_pair(temperature_c: Celsius) -> float:
    """Mg²⁺ + HCO₃⁻ = MgHCO₃⁺ (phreeqc.dat, its two steps joined)."""
    t = temperature_c + _ZERO_C_K
    joined = 48.6721 + 0.03252849 * t - 2614.335 / t - 18.00263 * math.log10(t) + 563713.9 / t**2
    return joined + log_k2(temperature_c)


def log_k_magnesium_carbonate_pair(temperature_c: Celsius) -> float:
    """Mg²⁺ + CO₃²⁻ = MgCO₃ dissolved (phreeqc.dat)."""
    return 0.9910 + 0.00667 * (temperature_c + _ZERO_C_K)


def log_kw(temperature_c: Celsius) -> float:
    """Ion product of water (APHA 2330 B, from memory)."""
    t = temperature_c + _ZERO_C_K
    return -4471.0 / t - 0.01706 * t + 6.0875


def _by_enthalpy(log_k_25: float, kcal: float, temperature_c: Celsius) -> float:
    """Van 't Hoff: from the value at 25 °C and the heat of reaction."""
    t = temperature_c + _ZERO_C_K
    return log_k_25 + kcal * _KCAL_OVER_R_LN10_K * (1.0 / _ROOM_K - 1.0 / t)


_LogK = Callable[[Celsius], float]


def _van_t_hoff(log_k_25: float, kcal: float) -> _LogK:
    return lambda temperature_c: _by_enthalpy(log_k_25, kcal, temperature_c)


@dataclass(frozen=True, slots=True)
class _Cation:
    """A cation's pairs with each anion; None for one that is of no account."""

    charge: int
    bicarbonate: _LogK
    carbonate: _LogK
    sulphate: _LogK
    hydroxide: _LogK | None = None
    """M + H₂O = MOH + H⁺."""


_CALCIUM = _Cation(2, log_k_bicarbonate_pair, log_k_carbonate_pair, _van_t_hoff(2.25, 1.325))
_MAGNESIUM = _Cation(
    2,
    log_k_magnesium_bicarbonate_pair,
    log_k_magnesium_carbonate_pair,
    _van_t_hoff(2.37, 4.550),
    _van_t_hoff(-11.44, 15.952),
)
_SODIUM = _Cation(1, _van_t_hoff(-0.25, -1.0), _van_t_hoff(1.27, 8.91), _van_t_hoff(0.7, 1.12))


def activity_term(temperature_c: Celsius, ionic_strength: float) -> float:
    """pfm: minus the log10 of a monovalent ion's activity coefficient; z² times for others."""
    t = temperature_c + _ZERO_C_K
    dielectric = 60_954.0 / (t + 116.0) - 68.937
    a = 1.82e6 * (dielectric * t) ** -1.5
    root = math.sqrt(ionic_strength)
    return float(a * (root / (1.0 + root) - 0.3 * ionic_strength))


@dataclass(frozen=True, slots=True)
class Dissolved:
    """What of a water stays the same as it is heated."""

    calcium: float
    alkalinity: float
    ionic_strength: float
    magnesium: float = 0.0
    sodium: float = 0.0
    sulphate: float = 0.0


@dataclass(frozen=True, slots=True)
class Carbonates:
    """What there is at one pH and temperature."""

    ph: float
    temperature_c: Celsius
    dioxide: float
    """Dissolved CO₂."""
    total: float
    """All inorganic carbon, pairs too; 0 where the alkalinity cannot have that pH."""
    saturation_index: float
    """Decimal log of calcium times carbonate, as activities, over calcite's solubility product."""


class _Pairs:
    """One cation at one pH and temperature: how much of it is free, and what it binds."""

    def __init__(
        self, cation: _Cation, total: float, ratio: float, one: float, ph: float, t: Celsius
    ) -> None:
        z = cation.charge
        # Exponents of the activity coefficient: squares of charges, before less after.
        self.bicarbonate = 10.0 ** cation.bicarbonate(t) * one ** (2 * z)
        self.carbonate = 10.0 ** cation.carbonate(t) * one ** (4 * z) * ratio
        self.sulphate = 10.0 ** cation.sulphate(t) * one ** (4 * z)
        self.hydroxide = 0.0
        if cation.hydroxide is not None:
            self.hydroxide = 10.0 ** (cation.hydroxide(t) + ph) * one ** (2 * z - 1)
        self.total = self.free = total

    def settle(self, bicarbonate: float, sulphate: float) -> None:
        bound = bicarbonate * (self.bicarbonate + self.carbonate)
        self.free = self.total / (1.0 + bound + self.sulphate * sulphate + self.hydroxide)


def at_ph(water: Dissolved, ph: float, temperature_c: Celsius) -> Carbonates:
    """The equilibrium at a pH that is known."""
    one = 10.0 ** -activity_term(temperature_c, water.ionic_strength)
    two = one**4
    hydrogen, hydroxide = 10.0**-ph / one, 10.0 ** (log_kw(temperature_c) + ph) / one
    ratio = 10.0 ** (log_k2(temperature_c) + ph) * one / two  # carbonate over bicarbonate
    calcium, *others = cations = [
        _Pairs(cation, total, ratio, one, ph, temperature_c)
        for cation, total in (
            (_CALCIUM, water.calcium),
            (_MAGNESIUM, water.magnesium),
            (_SODIUM, water.sodium),
        )
    ]
    bicarbonate, paired, doubly, sulphate = 0.0, 0.0, 0.0, water.sulphate
    # Each binds some of the others: solved by going round until all stand still.
    for _ in range(_STEPS):
        before = bicarbonate
        left = water.alkalinity + hydrogen - hydroxide
        left -= sum(one_of.hydroxide * one_of.free for one_of in others)
        paired = sum(one_of.bicarbonate * one_of.free for one_of in cations)
        doubly = ratio + sum(one_of.carbonate * one_of.free for one_of in cations)
        bicarbonate = max(0.0, left) / (1.0 + paired + 2.0 * doubly)
        for one_of in cations:
            one_of.settle(bicarbonate, sulphate)
        sulphate = water.sulphate / (1.0 + sum(one_of.sulphate * one_of.free for one_of in cations))
        if abs(bicarbonate - before) <= 1e-12 * bicarbonate:
            break
    dioxide = bicarbonate * one * 10.0 ** (-ph - log_k1(temperature_c))
    product = calcium.free * bicarbonate * ratio * two * two
    return Carbonates(
        ph,
        temperature_c,
        dioxide,
        dioxide + bicarbonate * (1.0 + paired + doubly),
        math.log10(product) - log_k_calcite(temperature_c) if product > 0.0 else -math.inf,
    )


def heated_closed(water: Dissolved, read: Carbonates, temperature_c: Celsius) -> Carbonates:
    """Heated with nothing in or out: alkalinity and total carbon stay, the pH moves."""
    return _where(lambda ph: at_ph(water, ph, temperature_c), lambda now: now.total > read.total)


def heated_open(water: Dissolved, temperature_c: Celsius) -> Carbonates:
    """At rest with the air: alkalinity stays, carbon dioxide comes or goes, the pH with it."""
    dissolved = AIR_CO2_ATM * 10.0 ** log_k_henry(temperature_c)
    return _where(lambda ph: at_ph(water, ph, temperature_c), lambda now: now.dioxide > dissolved)


def _where(at: Callable[[float], Carbonates], below: Callable[[Carbonates], bool]) -> Carbonates:
    """The equilibrium at which ``below`` turns false: both totals fall as the pH rises."""
    low, high = _PH_RANGE
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if below(at(middle)) else (low, middle)
    return at((low + high) / 2.0)
