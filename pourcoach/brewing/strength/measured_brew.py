"""From a strength reading and masses to extraction, with the error of each."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.strength.extraction import (
    RETAINED_ERROR_G_PER_G,
    RETAINED_G_PER_G,
    RETAINED_IMMERSION_G_PER_G,
    extraction_drip_classic,
    extraction_drip_dissolved,
    extraction_from_beverage,
    extraction_immersion,
)
from pourcoach.brewing.strength.measured import Measured, propagate, slopes
from pourcoach.brewing.strength.published_targets import MOST_SOLUBLE_PCT
from pourcoach.brewing.working import Working
from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Grams

# Common practice: what a hand refractometer and a kitchen scale are good for.
USUAL_STRENGTH_ERROR_PCT = 0.03
USUAL_DOSE_ERROR_G = 0.1
USUAL_MASS_ERROR_G = 1.0

USUAL_RETAINED = Measured(RETAINED_G_PER_G, RETAINED_ERROR_G_PER_G)
# Grounds that seem to keep less or more than this point to a wrong mass (common practice).
_KEPT_POSSIBLE_G_PER_G = (0.8, 4.5)
# Filter coffee; outside it the reading or its unit is wrong (common practice).
_STRENGTH_POSSIBLE_PCT = (0.05, 8.0)


class ExtractionMethod(Enum):
    """Which equation gives the extraction."""

    BEVERAGE = "beverage"
    """From the mass of beverage in the server. Exact for any way of brewing."""
    DRIP_CLASSIC = "drip-classic"
    """From brew water; the liquid kept is counted as free of solids, as classic charts do."""
    DRIP_DISSOLVED = "drip-dissolved"
    """From brew water; the beverage's mass counts its solids, and pure water is kept."""
    IMMERSION = "immersion"
    """From brew water; all the liquid, drunk or kept, has one strength."""


@dataclass(frozen=True, slots=True)
class MeasuredBrew:
    """A brew and its strength reading, with what each instrument may be off by."""

    dose_g: Measured
    strength_pct: Measured
    method: ExtractionMethod = ExtractionMethod.BEVERAGE
    beverage_g: Measured | None = None
    """In the server. Needed by BEVERAGE; else only compared."""
    water_g: Measured | None = None
    """Poured in all. Needed by the other methods; with BEVERAGE it gives what was kept."""
    added_g: Measured | None = None
    """Ice in the server and water added after the brew, in the cup when its strength was read."""
    retained: Measured = USUAL_RETAINED
    """Grams of liquid kept by each gram of coffee; used by the two drip equations."""


@dataclass(frozen=True, slots=True)
class Extraction:
    """What follows from a measured brew."""

    strength_pct: Measured
    extraction_pct: Measured
    covariance_pct2: float
    """Of extraction with strength: one reading feeds both."""
    ratio: float | None
    """All water in the cup, what was added too, over coffee; None where it is not known."""
    kept_g_per_g: float | None
    """Liquid kept by each gram of coffee; None unless both masses were given."""
    working: Working


def work_out_extraction(brew: MeasuredBrew) -> Extraction:
    """Extraction with its error.

    Raises UsageError in a sentence where a mass is missing, cannot be, or looks like the other
    one: putting water where beverage belongs makes 18 % look like 21 %.
    """
    _refuse_impossible(brew)
    function, inputs, formula, numbers, source = _reckoning(brew)
    extraction = propagate(function, *inputs)
    if extraction.value - 2.0 * extraction.error > MOST_SOLUBLE_PCT:
        raise UsageError(
            f"an extraction of {extraction.value:.1f} % cannot be: about {MOST_SOLUBLE_PCT:g} % of "
            "coffee dissolves at all",
            "look at the strength reading, the dose, and whether water was given as beverage",
        )
    by_strength, *_ = slopes(function, *inputs)
    return Extraction(
        strength_pct=brew.strength_pct,
        extraction_pct=extraction,
        covariance_pct2=by_strength * brew.strength_pct.error**2,
        ratio=(
            None
            if brew.water_g is None
            else _water_in_all_g(brew.water_g, brew) / brew.dose_g.value
        ),
        kept_g_per_g=_kept_g_per_g(brew),
        working=Working(formula, f"{numbers} = {extraction.value:.2f} %", source),
    )


def refuse_strength(strength_pct: Measured) -> None:
    """Raise UsageError for a strength that is none of filter coffee, or is not in percent."""
    least, most = _STRENGTH_POSSIBLE_PCT
    if not 0 <= strength_pct.error < most:
        raise UsageError(
            f"a strength cannot be known to {strength_pct.error:g} %",
            "give its standard error in percent dissolved solids, 0 or more",
        )
    if not least <= strength_pct.value <= most:
        raise UsageError(
            f"a strength of {strength_pct.value:g} % is none of filter coffee",
            f"give percent dissolved solids, {least:g} to {most:g} (1.3, not 0.013)",
        )


_Reckoning = tuple[Callable[..., float], tuple[Measured, ...], str, str, str]


def _reckoning(brew: MeasuredBrew) -> _Reckoning:
    """Function, its inputs with strength first, formula, numbers put in, source."""
    dose, strength = brew.dose_g, brew.strength_pct
    s, d = f"{strength.value:g} %", f"{dose.value:g} g"
    if brew.method is ExtractionMethod.BEVERAGE:
        beverage = _needed(brew.beverage_g, "the beverage's mass")
        return (
            extraction_from_beverage,
            (strength, beverage, dose),
            "E = S × B / D",
            f"{s} × {beverage.value:g} g / {d}",
            "by definition: dissolved solids over coffee",
        )
    water = _needed(brew.water_g, "the brew water's mass")
    r = f"{water.value:g} g / {d}"
    if brew.added_g is not None:
        if brew.method is ExtractionMethod.IMMERSION:
            raise UsageError(
                "water or ice added after an immersion leaves the kept liquid at another strength",
                "read the strength before it is added, or give the beverage's mass",
            )
        r = f"({water.value:g} g + {brew.added_g.value:g} g) / {d}"
        water = Measured(
            water.value + brew.added_g.value, math.hypot(water.error, brew.added_g.error)
        )
    if brew.method is ExtractionMethod.IMMERSION:
        return (
            lambda s, w, d: extraction_immersion(s, w / d),
            (strength, water, dose),
            "E = S × R / (1 - S), R = water / dose",
            f"{s} × ({r}) / (1 - {s})",
            "mass balance with all liquid at one strength, as in full immersion "
            "(Liang, Chan & Ristenpart 2021, Sci. Rep. 11)",
        )
    kept = brew.retained
    if brew.method is ExtractionMethod.DRIP_CLASSIC:
        return (
            lambda s, w, d, kept: extraction_drip_classic(s, w / d, kept),
            (strength, water, dose, kept),
            "E = S × (R - L), R = water / dose, L = liquid kept",
            f"{s} × ({r} - {kept.value:g})",
            "classic chart form, the kept liquid counted as free of solids; L from Lockhart 1957 "
            "(from memory) unless given",
        )
    return (
        lambda s, w, d, kept: extraction_drip_dissolved(s, w / d, kept),
        (strength, water, dose, kept),
        "E = S × (R - L) / (1 - S), R = water / dose, L = liquid kept",
        f"{s} × ({r} - {kept.value:g}) / (1 - {s})",
        "mass balance with the solids counted in the beverage; L from Lockhart 1957 "
        "(from memory) unless given",
    )


def _needed(mass: Measured | None, noun: str) -> Measured:
    if mass is None:
        raise UsageError(f"this equation needs {noun}", "give it, or choose another equation")
    return mass


def _kept_g_per_g(brew: MeasuredBrew) -> float | None:
    if brew.water_g is None or brew.beverage_g is None:
        return None
    return (_water_in_all_g(brew.water_g, brew) - brew.beverage_g.value) / brew.dose_g.value


def _water_in_all_g(water_g: Measured, brew: MeasuredBrew) -> Grams:
    return water_g.value + (0.0 if brew.added_g is None else brew.added_g.value)


def _refuse_impossible(brew: MeasuredBrew) -> None:
    masses = {
        "a dose": brew.dose_g,
        "a beverage": brew.beverage_g,
        "brew water": brew.water_g,
        "added water": brew.added_g,
        "kept liquid": brew.retained,
    }
    for noun, mass in masses.items():
        if mass is not None and not 0 < mass.value < math.inf:
            raise UsageError(f"{noun} of {mass.value:g} g cannot be", "give a mass above 0")
        if mass is not None and not 0 <= mass.error < math.inf:
            raise UsageError(
                f"{noun} cannot be known to {mass.error:g} g", "give its error as 0 or more"
            )
    refuse_strength(brew.strength_pct)
    drips = brew.method in (ExtractionMethod.DRIP_CLASSIC, ExtractionMethod.DRIP_DISSOLVED)
    if drips and brew.water_g and brew.retained.value >= brew.water_g.value / brew.dose_g.value:
        raise UsageError(
            f"{brew.retained.value:g} g kept by each gram leaves nothing in the cup",
            f"use about {RETAINED_G_PER_G:g}",
        )
    if brew.water_g is not None and brew.beverage_g is not None:
        immersed = brew.method is ExtractionMethod.IMMERSION
        usual = RETAINED_IMMERSION_G_PER_G if immersed else RETAINED_G_PER_G
        water_g = _water_in_all_g(brew.water_g, brew)
        _refuse_wrong_mass(water_g, brew.beverage_g.value, brew.dose_g.value, usual)


def _refuse_wrong_mass(water_g: Grams, beverage_g: Grams, dose_g: Grams, usual: float) -> None:
    kept = (water_g - beverage_g) / dose_g
    least, most = _KEPT_POSSIBLE_G_PER_G
    if not least <= kept <= most:
        raise UsageError(
            f"{beverage_g:.4g} g of beverage from {water_g:.4g} g of water would leave "
            f"{kept:.1f} g in each gram of grounds, where about {usual:g} is usual",
            "weigh the coffee in the server, without the server; water poured is not beverage",
        )
