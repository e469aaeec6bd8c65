"""Published targets for brew water, and how a water stands to them item by item."""

from dataclasses import dataclass
from enum import Enum

from pourcoach.brewing.water.water import LEAST_CALCIUM_SHARE, Water


class ItemStanding(Enum):
    """How one item stands."""

    IN = "in"
    NEAR = "near"
    OUT = "out"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Target:
    """One line of a standard."""

    item: str
    """A field or property of Water."""
    noun: str
    unit: str
    aim: float | None
    low: float
    high: float
    too_low: str
    """What less than this means for the cup and for the machine."""
    too_high: str
    printed: str
    """As the standard prints it, where the bounds here are only common practice."""


@dataclass(frozen=True, slots=True)
class Standard:
    """A set of targets with its source."""

    name: str
    source: str
    targets: tuple[Target, ...]


@dataclass(frozen=True, slots=True)
class ItemVerdict:
    """How one item of a water stands to its target."""

    target: Target
    value: float | None
    at_most: bool
    """True where calcium is unknown and the total hardness stands in its place."""
    standing: ItemStanding
    means: str
    """For the cup and the machine; empty where it stands in or is unknown."""


# Just outside: within a fifth of the bound (common practice).
_NEAR_SHARE = 0.20

_FLAT = "cup: flat and sour, little to carry flavour; machine: soft water may attack metal"
_HARD = "cup: dull; machine: scales when heated"
_NO_BUFFER = "cup: sharp, acids stand bare; machine: pH drops easily and metal suffers"
_MUCH_BUFFER = "cup: flat and chalky, acids are neutralised; machine: scales when heated"
_SALTY = "cup: salty or flat; often water from a sodium softener; machine: no scale from it"
_CHLORINE = "cup: medicinal; filter through carbon; machine: attacks seals and steel"
_STRONG = "cup: heavy and dull; machine: scales or leaves deposits"
_ACID = "cup: sour; machine: attacks metal"
_ALKALINE = "cup: flat; machine: scales more readily"

SCAA = Standard(
    "scaa",
    "SCAA standard for water for brewing specialty coffee",
    (
        Target("tds_mgl", "dissolved solids", "mg/L", 150, 75, 250, _FLAT, _STRONG, "150 (75-250)"),
        Target(
            "calcium_hardness_mgl",
            "calcium hardness",
            "mg/L CaCO3",
            68,
            17,
            85,
            _FLAT,
            _HARD,
            "4 grains or 68 (1-5 grains or 17-85)",
        ),
        Target(
            "alkalinity_mgl",
            "total alkalinity",
            "mg/L CaCO3",
            40,
            30,
            50,
            _NO_BUFFER,
            _MUCH_BUFFER,
            "at or near 40 (taken as 30-50)",
        ),
        Target("ph", "pH", "", 7.0, 6.5, 7.5, _ACID, _ALKALINE, "7.0 (6.5-7.5)"),
        Target(
            "sodium_mgl", "sodium", "mg/L", 10, 0, 20, "", _SALTY, "at or near 10 (taken as 0-20)"
        ),
        Target(
            "chlorine_mgl", "total chlorine", "mg/L", 0, 0, 0.05, "", _CHLORINE, "0 (kits: 0.05)"
        ),
    ),
)
SCA_LATER = Standard(
    "sca",
    "later SCA text, as quoted by the trade",
    (
        Target(
            "total_hardness_mgl",
            "total hardness",
            "mg/L CaCO3",
            None,
            50,
            175,
            _FLAT,
            _HARD,
            "50-175",
        ),
        Target(
            "alkalinity_mgl",
            "total alkalinity",
            "mg/L CaCO3",
            40,
            40,
            70,
            _NO_BUFFER,
            _MUCH_BUFFER,
            "40 (40-70)",
        ),
        Target("ph", "pH", "", None, 6.0, 8.0, _ACID, _ALKALINE, "6-8"),
    ),
)
STANDARDS = {standard.name: standard for standard in (SCAA, SCA_LATER)}


def compare_with_targets(water: Water, standard: Standard) -> tuple[ItemVerdict, ...]:
    """Each item of the standard, in its order."""
    return tuple(_verdict(target, water) for target in standard.targets)


def _verdict(target: Target, water: Water) -> ItemVerdict:
    value = getattr(water, target.item)
    if value is not None:
        standing, means = _standing(target, value)
        return ItemVerdict(target, value, False, standing, means)
    total = water.total_hardness_mgl
    if target.item != "calcium_hardness_mgl" or total is None:
        return ItemVerdict(target, None, False, ItemStanding.UNKNOWN, "")
    least, most = _standing(target, total * LEAST_CALCIUM_SHARE), _standing(target, total)
    standing, means = most if least == most else (ItemStanding.UNKNOWN, "")
    return ItemVerdict(target, total, True, standing, means)


def _standing(target: Target, value: float) -> tuple[ItemStanding, str]:
    if target.low <= value <= target.high:
        return ItemStanding.IN, ""
    near_low = target.low - _margin(target, target.low)
    near_high = target.high + _margin(target, target.high)
    standing = ItemStanding.NEAR if near_low <= value <= near_high else ItemStanding.OUT
    return standing, target.too_low if value < target.low else target.too_high


def _margin(target: Target, bound: float) -> float:
    # pH is a logarithm: a fifth of it would be far, a fifth of the range's width is near.
    return _NEAR_SHARE * ((target.high - target.low) if target.item == "ph" else bound)
