"""The amounts that can be given for a water, each in the units that kits and reports use."""

from collections.abc import Mapping

from pourcoach.brewing.water.units import (
    ALKALINITY_UNITS,
    CALCIUM_UNITS,
    HARDNESS_UNITS,
    MAGNESIUM_UNITS,
    PLAIN_UNITS,
    SODIUM_UNITS,
    SULPHATE_UNITS,
)

AMOUNTS: Mapping[str, tuple[str, Mapping[str, float], str]] = {
    "hardness": ("hardness_mgl", HARDNESS_UNITS, "hardness"),
    "calcium": ("calcium_hardness_mgl", CALCIUM_UNITS, "calcium"),
    "magnesium": ("magnesium_hardness_mgl", MAGNESIUM_UNITS, "magnesium"),
    "alkalinity": ("alkalinity_mgl", ALKALINITY_UNITS, "alkalinity"),
    "sodium": ("sodium_mgl", SODIUM_UNITS, "sodium"),
    "sulphate": ("sulphate_mgl", SULPHATE_UNITS, "sulphate"),
    "chlorine": ("chlorine_mgl", PLAIN_UNITS, "chlorine"),
    "tds": ("tds_mgl", PLAIN_UNITS, "dissolved solids"),
}
"""By a short name: the field of Water, its units, and the noun for it."""
