"""What is published for filter coffee, and the strength to expect by ratio, as lines of text."""

from pourcoach.brewing.strength.extraction import (
    RETAINED_G_PER_G,
    strength_drip_classic,
    strength_drip_dissolved,
    strength_immersion,
)
from pourcoach.brewing.strength.published_targets import (
    CHART_WATER_G_PER_L,
    CLASSIC_DOSE_G_PER_L,
    CLASSIC_DOSE_TOLERANCE,
    CLASSIC_EXTRACTION_PCT,
    CLASSIC_STRENGTH_PCT,
    CONTACT_MIN,
    MOST_SEDIMENT_MG_PER_100_ML,
    NOTICED_STRENGTH_PCT,
    ratio_of_dose_per_litre,
)
from pourcoach.brewing.temperature.bands import (
    CERTIFICATION_FLOOR_C,
    CONTACT_BAND_C,
    CONTACT_BAND_F,
)

_COLD_G_PER_L = 1000.0
_MIDDLE_EXTRACTION_PCT = sum(CLASSIC_EXTRACTION_PCT) / 2.0


def target_lines() -> list[str]:
    """Each published number with its source, then a table of strengths by ratio."""
    dose, share = CLASSIC_DOSE_G_PER_L, CLASSIC_DOSE_TOLERANCE
    cold = ratio_of_dose_per_litre(dose, _COLD_G_PER_L)
    hot = ratio_of_dose_per_litre(dose, CHART_WATER_G_PER_L)
    contact = ", ".join(f"{low:g}-{high:g} {grind}" for grind, (low, high) in CONTACT_MIN.items())
    return [
        "SCAA Golden Cup Standard 2015 (the classic box; a convention, not the best cup):",
        f"  strength     {_span(CLASSIC_STRENGTH_PCT)} % dissolved solids",
        f"  extraction   {_span(CLASSIC_EXTRACTION_PCT)} %",
        f"  dose         {dose:g} g/L ± {100 * share:.0f} %: 1:{cold:.2f} by cold water of "
        f"{_COLD_G_PER_L:g} g/L, 1:{hot:.2f} by hot of {CHART_WATER_G_PER_L:g} g/L",
        f"  temperature  {_span(CONTACT_BAND_C)} °C; in °F {_span(CONTACT_BAND_F)} (as printed)",
        f"  contact      minutes by grind: {contact}",
        f"  sediment     under {MOST_SEDIMENT_MG_PER_100_ML:g} mg in 100 mL",
        f"certified brewers bring the water to {CERTIFICATION_FLOOR_C:g} °C "
        "(Batali, Ristenpart & Guinard 2020)",
        f"difference threshold of strength: estimated at {NOTICED_STRENGTH_PCT:g} % "
        "(Frost, Ristenpart & Guinard 2019)",
        "",
        f"strength at {_MIDDLE_EXTRACTION_PCT:g} % extraction, {RETAINED_G_PER_G:g} g kept by each "
        "gram:",
        "  ratio  drip-classic  drip-dissolved  immersion",
        *(_strengths(float(ratio)) for ratio in range(14, 21)),
    ]


def _strengths(ratio: float) -> str:
    extraction = _MIDDLE_EXTRACTION_PCT
    classic = strength_drip_classic(extraction, ratio, RETAINED_G_PER_G)
    dissolved = strength_drip_dissolved(extraction, ratio, RETAINED_G_PER_G)
    immersion = strength_immersion(extraction, ratio)
    return f"  1:{ratio:g}   {classic:10.2f} % {dissolved:13.2f} % {immersion:8.2f} %"


def _span(bounds: tuple[float, float]) -> str:
    return f"{bounds[0]:g}-{bounds[1]:g}"
