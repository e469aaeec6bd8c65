"""Strength and extraction of a cup as figures and as lines of text."""

from typing import Any

from pourcoach.brewing.strength.extraction import ratio_drip_classic
from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import Extraction, ExtractionMethod, MeasuredBrew
from pourcoach.brewing.strength.published_targets import (
    CLASSIC_EXTRACTION_PCT,
    CLASSIC_STRENGTH_PCT,
    NOTICED_STRENGTH_PCT,
    place_in_classic_box,
)
from pourcoach.brewing.working import Working


def strength_figures(brew: MeasuredBrew, found: Extraction) -> dict[str, Any]:
    """The figures of ``--json``."""
    box = place_in_classic_box(found.strength_pct.value, found.extraction_pct.value)
    return {
        "method": brew.method.value,
        "dose_g": brew.dose_g.value,
        "water_g": None if brew.water_g is None else brew.water_g.value,
        "added_g": None if brew.added_g is None else brew.added_g.value,
        "beverage_g": None if brew.beverage_g is None else brew.beverage_g.value,
        "strength_pct": found.strength_pct.value,
        "strength_error_pct": found.strength_pct.error,
        "extraction_pct": round(found.extraction_pct.value, 4),
        "extraction_error_pct": round(found.extraction_pct.error, 4),
        "covariance_pct2": round(found.covariance_pct2, 6),
        "ratio": found.ratio,
        "kept_g_per_g": found.kept_g_per_g,
        "kept_water_g_per_g": _kept_water(found),
        "in_classic_box": box.inside,
        "formula": found.working.formula,
        "put_in": found.working.put_in,
        "source": found.working.source,
    }


def strength_lines(
    brew: MeasuredBrew, found: Extraction, *, why: bool, converted: Working | None = None
) -> list[str]:
    """The figures as lines of text. ``converted``: how the strength came from another reading."""
    box = place_in_classic_box(found.strength_pct.value, found.extraction_pct.value)
    rows = [
        _row("strength", found.strength_pct, 2, CLASSIC_STRENGTH_PCT, box.strength),
        _row("extraction", found.extraction_pct, 1, CLASSIC_EXTRACTION_PCT, box.extraction),
    ]
    if found.ratio is not None:
        rows.append(f"ratio       1:{found.ratio:.1f}")
    water = _kept_water(found)
    if water is not None:
        # Weighed, the coffee takes its solids along, as if less water had stayed.
        weighed = f"{found.kept_g_per_g:.2f} g a gram as weighed"
        rows.append(f"kept        {weighed}, {water:.2f} g of water (the coffee holds solids)")
    elif brew.method is ExtractionMethod.BEVERAGE:
        rows.append("            give the water too: a water mass given as beverage is then found")
    wanted = _ratio_wanted(brew, found)
    if wanted is not None:
        rows.append(f"            {wanted}")
    if why:
        if converted is not None:
            rows += ["", *converted.lines()]
        rows += ["", *found.working.lines()]
        rows.append("  errors: to first order, one standard error (JCGM 100, GUM)")
        rows.append(
            "  classic box: 18-22 % and 1.15-1.35 %, SCAA Golden Cup Standard 2015 after "
            "Lockhart 1957; a convention, not the best cup for every coffee"
        )
    return rows


def _kept_water(found: Extraction) -> float | None:
    if found.kept_g_per_g is None:
        return None
    return found.kept_g_per_g + found.extraction_pct.value / 100.0


def _ratio_wanted(brew: MeasuredBrew, found: Extraction) -> str | None:
    """The ratio for the box's middle, where the strength is tastably off it."""
    middle = sum(CLASSIC_STRENGTH_PCT) / 2.0
    off = abs(found.strength_pct.value - middle)
    if (
        found.ratio is None
        or off < NOTICED_STRENGTH_PCT
        or brew.method is ExtractionMethod.IMMERSION
    ):
        return None
    kept = brew.retained.value if found.kept_g_per_g is None else found.kept_g_per_g
    ratio = ratio_drip_classic(middle, found.extraction_pct.value, kept)
    return f"{middle:.2f} % at this extraction wants about 1:{ratio:.1f} (classic drip form)"


def _row(noun: str, value: Measured, places: int, box: tuple[float, float], side: int) -> str:
    where = {-1: "below", 0: "within", 1: "above"}[side]
    number = f"{value.value:.{places}f} ± {value.error:.{places}f} %"
    return f"{noun:<12}{number:<16}{where} the classic {box[0]:g}-{box[1]:g} %"
