import pytest

from pourcoach.brewing.strength import published_targets as targets
from pourcoach.brewing.strength.published_targets import (
    ClassicBox,
    place_in_classic_box,
    ratio_of_dose_per_litre,
)


# SCAA Golden Cup Standard, revision of 23 December 2015.
def test_the_golden_cup_standard_as_printed() -> None:
    assert targets.CLASSIC_STRENGTH_PCT == (1.15, 1.35)
    assert targets.CLASSIC_EXTRACTION_PCT == (18.0, 22.0)
    dose, tolerance = targets.CLASSIC_DOSE_G_PER_L, targets.CLASSIC_DOSE_TOLERANCE
    assert (dose * (1 - tolerance), dose * (1 + tolerance)) == pytest.approx((49.5, 60.5))
    assert targets.CONTACT_MIN == {"fine": (1.0, 4.0), "drip": (4.0, 6.0), "coarse": (6.0, 8.0)}
    assert targets.MOST_SEDIMENT_MG_PER_100_ML == 75.0


# SCA Brewing Control Chart, version 3, March 2019.
def test_the_control_chart_as_printed() -> None:
    assert targets.CHART_EXTRACTION_PCT == (14.0, 26.0)
    assert targets.CHART_STRENGTH_PCT == (0.90, 1.80)
    assert (min(targets.CHART_RATIOS), max(targets.CHART_RATIOS)) == (12.0, 22.0)
    assert targets.CHART_WATER_G_PER_L == 963.0


# Frost, Ristenpart & Guinard 2019, J. Food Sci.
def test_the_sensory_threshold() -> None:
    assert targets.NOTICED_STRENGTH_PCT == 0.24


# Up to about 30 % can be dissolved (common practice).
def test_the_most_that_dissolves() -> None:
    assert targets.MOST_SOLUBLE_PCT == 30.0


# Cupping ratio as quoted from the SCA: 8.25 g (± 0.25) to 150 mL, that is 55 g/L.
def test_the_cupping_ratio_is_the_same_dose() -> None:
    dose_g = targets.CLASSIC_DOSE_G_PER_L * 0.150
    assert dose_g == pytest.approx(8.25, abs=0.05)


# 55 g/L is 1:18.18 with cold water and 1:17.51 with the chart's hot litre of 963 g.
@pytest.mark.parametrize(("water_g_per_l", "ratio"), [(1000.0, 18.182), (963.0, 17.509)])
def test_grams_a_litre_need_the_litres_mass(water_g_per_l: float, ratio: float) -> None:
    assert ratio_of_dose_per_litre(55.0, water_g_per_l) == pytest.approx(ratio, abs=0.001)


@pytest.mark.parametrize(
    ("strength_pct", "extraction_pct", "box"),
    [
        (1.25, 20.0, ClassicBox(0, 0)),
        (1.15, 18.0, ClassicBox(0, 0)),
        (1.35, 22.0, ClassicBox(0, 0)),
        (1.14, 20.0, ClassicBox(-1, 0)),
        (1.36, 22.1, ClassicBox(1, 1)),
        (1.25, 17.9, ClassicBox(0, -1)),
    ],
)
def test_place_in_the_box(strength_pct: float, extraction_pct: float, box: ClassicBox) -> None:
    assert place_in_classic_box(strength_pct, extraction_pct) == box
    assert box.inside == (box == ClassicBox(0, 0))
