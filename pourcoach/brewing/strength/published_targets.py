"""What standards and studies publish for filter coffee, each number as it was printed.

The box of strength and extraction is called the classic box here, not the best one: newer
work finds that what people like depends on the coffee and on them.
"""

from dataclasses import dataclass

from pourcoach.domain.errors import UsageError
from pourcoach.domain.units import Percent

# SCAA Golden Cup Standard, revision of 23 December 2015.
CLASSIC_STRENGTH_PCT: tuple[Percent, Percent] = (1.15, 1.35)
CLASSIC_EXTRACTION_PCT: tuple[Percent, Percent] = (18.0, 22.0)
CLASSIC_DOSE_G_PER_L = 55.0
CLASSIC_DOSE_TOLERANCE = 0.10
CONTACT_MIN = {"fine": (1.0, 4.0), "drip": (4.0, 6.0), "coarse": (6.0, 8.0)}
MOST_SEDIMENT_MG_PER_100_ML = 75.0

# The estimated difference threshold of strength (Frost, Ristenpart & Guinard 2019, J. Food Sci.):
# an average of tasters under test conditions; single people notice less, or more.
NOTICED_STRENGTH_PCT: Percent = 0.24

# About this share of roasted coffee can be dissolved at all (common practice; Liang, Chan &
# Ristenpart 2021, Sci. Rep. 11, use the same figure, from memory).
MOST_SOLUBLE_PCT: Percent = 30.0

# SCA Brewing Control Chart, version 3, March 2019.
CHART_EXTRACTION_PCT: tuple[Percent, Percent] = (14.0, 26.0)
CHART_STRENGTH_PCT: tuple[Percent, Percent] = (0.90, 1.80)
CHART_RATIOS = tuple(float(ratio) for ratio in range(12, 23))
CHART_WATER_G_PER_L = 963.0


@dataclass(frozen=True, slots=True)
class ClassicBox:
    """Where a brew lies to the classic box, along each axis: -1 below, 0 within, 1 above."""

    strength: int
    extraction: int

    @property
    def inside(self) -> bool:
        """Whether it lies within on both."""
        return self.strength == self.extraction == 0


def place_in_classic_box(strength_pct: Percent, extraction_pct: Percent) -> ClassicBox:
    """Compare with the classic box; its edges belong to it."""
    return ClassicBox(
        _side(strength_pct, CLASSIC_STRENGTH_PCT), _side(extraction_pct, CLASSIC_EXTRACTION_PCT)
    )


def off_classic_extraction(extraction_pct: Percent) -> Percent:
    """How far outside the classic box; 0 within."""
    least, most = CLASSIC_EXTRACTION_PCT
    return max(least - extraction_pct, extraction_pct - most, 0.0)


def ratio_of_dose_per_litre(dose_g_per_l: float, water_g_per_l: float) -> float:
    """Water over coffee by mass. "Grams a litre" needs the litre's mass: 1000 cold, 963 hot."""
    if not dose_g_per_l > 0:
        raise UsageError(f"{dose_g_per_l:g} g/L is no dose", "give a number above 0")
    return water_g_per_l / dose_g_per_l


def _side(value: float, bounds: tuple[float, float]) -> int:
    return (value > bounds[1]) - (value < bounds[0])
