"""All that is said of a water: safety first, then the targets, softening and scale."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.water.scaling import HOT_C, Scaling, scaling
from pourcoach.brewing.water.targets import (
    ItemStanding,
    ItemVerdict,
    Standard,
    compare_with_targets,
)
from pourcoach.brewing.water.units import CACO3_EQUIVALENT, SODIUM
from pourcoach.brewing.water.water import PRIVATE_SOURCES, Water, WaterSource
from pourcoach.domain.units import Celsius


class Overall(Enum):
    """The water as a whole, as a brew water."""

    UNTESTED = "not judged: untested water"
    """A private source without a laboratory's finding, whatever its hardness."""
    MEETS = "meets these targets"
    NEAR = "near these targets"
    MISSES = "misses these targets"
    CANNOT_SAY = "cannot say: not enough is known"


@dataclass(frozen=True, slots=True)
class WaterVerdict:
    """What is to be said about a water."""

    overall: Overall
    items: tuple[ItemVerdict, ...]
    scaling: tuple[Scaling, ...]
    """Cold as read, hot closed, hot open; empty where pH, hardness or alkalinity is unknown."""
    softened: str | None
    """Said where sodium stands where hardness should."""
    safety: tuple[str, ...]
    """Always something: what this judgement does not cover."""


# A softener leaves less than 1 grain of hardness a gallon: the lower bound of the SCAA standard.
_SOFTENED_HARDNESS_MGL = 17.0
# Sodium then balances most of the alkalinity; a naturally soft water has little of either
# (common practice).
_SOFTENED_SODIUM_SHARE = 0.6
_SOFTENED_ALKALINITY_MGL = 40.0

MACHINE = "for a boiler or a softener its maker's limits decide, and a qualified fitter sets it up"


def judge_water(water: Water, standard: Standard, hot_c: Celsius = HOT_C) -> WaterVerdict:
    """Compare with a standard; never calls an untested private water anything but untested."""
    items = compare_with_targets(water, standard)
    return WaterVerdict(
        overall=_overall(water, items),
        items=items,
        scaling=scaling(water, hot_c),
        softened=_softened(water),
        safety=safety_words(water),
    )


def safety_words(water: Water) -> tuple[str, ...]:
    """What to say of drinking it.

    Sources: US EPA on private wells; Pathak & Heijnen for WHO on roof water; boiling advice as
    compared in Dorris et al. 2025, Emerg. Infect. Dis. 31(8); what boiling leaves, from memory.
    """
    words = []
    if water.source is WaterSource.WELL:
        words.append(
            "well water: have a laboratory test it every year for coliform bacteria and nitrate, "
            "and before first use also for metals, pesticides and organics; nitrate above "
            "10 mg/L as nitrogen harms infants (US EPA)"
        )
    if water.source is WaterSource.ROOF:
        words.append("rain from a roof carries germs and what lies on the roof (WHO)")
    if water.source is WaterSource.SURFACE:
        words.append("spring, stream and lake water carries germs; have a laboratory test it")
    if water.source in PRIVATE_SOURCES:
        words.append(
            "brewing at 90-96 °C does not disinfect; follow the local health authority on boiling "
            "(CDC: rolling for 1 min, above 1981 m for 3 min; WHO: until it rolls)",
        )
        words.append(
            "boiling does not take out nitrate, lead, arsenic or fluoride, it concentrates them"
        )
    if water.source is None:
        words.append(
            "where it comes from is not known: water from a well, a roof, a spring or a stream "
            "must be found fit to drink by a laboratory before it is used"
        )
    if water.untested_private:
        words.insert(0, "untested: do not brew with it before it is found fit to drink")
    words.append(
        "whether a water is safe to drink is for the local authority, not for this program"
    )
    return tuple(words)


def _overall(water: Water, items: tuple[ItemVerdict, ...]) -> Overall:
    if water.untested_private:
        return Overall.UNTESTED
    standings = {item.standing for item in items}
    if ItemStanding.OUT in standings:
        return Overall.MISSES
    if ItemStanding.UNKNOWN in standings:
        return Overall.CANNOT_SAY
    return Overall.NEAR if ItemStanding.NEAR in standings else Overall.MEETS


def _softened(water: Water) -> str | None:
    hardness, alkalinity = water.total_hardness_mgl, water.alkalinity_mgl
    if hardness is None:
        hardness = water.calcium_hardness_mgl
    if hardness is None or alkalinity is None or water.sodium_mgl is None:
        return None
    sodium_as_caco3 = water.sodium_mgl / SODIUM * CACO3_EQUIVALENT
    if (
        hardness < _SOFTENED_HARDNESS_MGL
        and alkalinity >= _SOFTENED_ALKALINITY_MGL
        and sodium_as_caco3 >= _SOFTENED_SODIUM_SHARE * alkalinity
    ):
        return (
            f"looks like water softened with sodium: {hardness:.0f} mg/L of hardness beside "
            f"{water.sodium_mgl:.0f} mg/L of sodium; it brews flat, and its "
            "alkalinity is still there: take the water before the softener"
        )
    return None
