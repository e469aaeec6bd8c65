"""Strength and extraction: what is in the cup, and how much of the coffee went into it.

Strength is the mass of dissolved solids over the mass of beverage; extraction is the mass of
dissolved solids over the mass of dry coffee. Both are in percent here. R is brew water over
coffee by mass, L the liquid that the grounds keep in grams a gram.
"""

from pourcoach.domain.units import Grams, Percent

# Lockhart 1957 found about 2 mL of water kept by each gram of grounds (from memory); two home
# brewers' published logs give 1.95-2.08, and good practice allows about 0.3 either way.
RETAINED_G_PER_G = 2.0
RETAINED_ERROR_G_PER_G = 0.3
# A decanted immersion keeps more (trade teaching, from memory).
RETAINED_IMMERSION_G_PER_G = 3.0


def extraction_from_beverage(strength_pct: Percent, beverage_g: Grams, dose_g: Grams) -> Percent:
    """E = S B / D."""
    return strength_pct * beverage_g / dose_g


def extraction_drip_classic(strength_pct: Percent, ratio: float, retained: float) -> Percent:
    """E = S (R - L)."""
    return strength_pct * (ratio - retained)


def extraction_drip_dissolved(strength_pct: Percent, ratio: float, retained: float) -> Percent:
    """E = S (R - L) / (1 - S)."""
    return strength_pct * (ratio - retained) / (1.0 - strength_pct / 100.0)


def extraction_immersion(strength_pct: Percent, ratio: float) -> Percent:
    """E = S R / (1 - S)."""
    return strength_pct * ratio / (1.0 - strength_pct / 100.0)


def strength_drip_classic(extraction_pct: Percent, ratio: float, retained: float) -> Percent:
    """S = E / (R - L)."""
    return extraction_pct / (ratio - retained)


def strength_drip_dissolved(extraction_pct: Percent, ratio: float, retained: float) -> Percent:
    """S = E / (R - L + E)."""
    return extraction_pct / (ratio - retained + extraction_pct / 100.0)


def strength_immersion(extraction_pct: Percent, ratio: float) -> Percent:
    """S = E / (R + E)."""
    return extraction_pct / (ratio + extraction_pct / 100.0)


def ratio_drip_classic(strength_pct: Percent, extraction_pct: Percent, retained: float) -> float:
    """R = E / S + L: the ratio whose chart line goes through that point."""
    return extraction_pct / strength_pct + retained
