import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.strength.extraction import (
    RETAINED_G_PER_G,
    RETAINED_IMMERSION_G_PER_G,
    extraction_drip_classic,
    extraction_drip_dissolved,
    extraction_from_beverage,
    extraction_immersion,
    ratio_drip_classic,
    strength_drip_classic,
    strength_drip_dissolved,
    strength_immersion,
)

EXTRACTIONS = st.floats(10.0, 28.0)
STRENGTHS = st.floats(0.5, 3.0)
RATIOS = st.floats(8.0, 22.0)
KEPT = st.floats(1.0, 3.0)


# The centre of the classic chart, 20 % and 1.25 % (Liang, Chan & Ristenpart 2021, Sci. Rep. 11,
# introduction), comes out exactly at 1:18 with 2 g kept.
def test_the_charts_centre() -> None:
    assert strength_drip_classic(20.0, 18.0, 2.0) == pytest.approx(1.25, abs=1e-9)


# Algebra on 55 g per kg of water, and per 963 g.
@pytest.mark.parametrize(
    ("ratio", "extraction_pct", "classic_pct", "dissolved_pct"),
    [
        (1000 / 55, 18.0, 1.112, 1.100),
        (1000 / 55, 20.0, 1.236, 1.221),
        (1000 / 55, 22.0, 1.360, 1.341),
        (963 / 55, 20.0, 1.290, None),
        # What the choice of equation is worth at the chart's centre: 1.250 against 1.235 %.
        (18.0, 20.0, 1.250, 1.235),
    ],
)
def test_both_drip_equations(
    ratio: float, extraction_pct: float, classic_pct: float, dissolved_pct: float | None
) -> None:
    assert strength_drip_classic(extraction_pct, ratio, 2.0) == pytest.approx(classic_pct, abs=1e-3)
    if dissolved_pct is not None:
        found = strength_drip_dissolved(extraction_pct, ratio, 2.0)
        assert found == pytest.approx(dissolved_pct, abs=1e-3)


# Algebra on the corners and the centre of the classic box.
@pytest.mark.parametrize(
    ("strength_pct", "extraction_pct", "ratio", "dose_g_per_kg"),
    [
        (1.15, 18, 17.652, 56.65),
        (1.15, 22, 21.130, 47.33),
        (1.25, 20, 18.000, 55.56),
        (1.35, 18, 15.333, 65.22),
        (1.35, 22, 18.296, 54.66),
    ],
)
def test_ratios_through_the_classic_box(
    strength_pct: float, extraction_pct: float, ratio: float, dose_g_per_kg: float
) -> None:
    found = ratio_drip_classic(strength_pct, extraction_pct, 2.0)
    assert found == pytest.approx(ratio, abs=0.01)
    assert 1000 / found == pytest.approx(dose_g_per_kg, abs=0.01)


# Two brews from a home brewer's published log (gist.github.com/thcipriani, percent as printed):
# 38.5 g and 700 g of water. They also support 2 g kept by each gram.
@pytest.mark.parametrize(
    ("beverage_g", "strength_pct", "extraction_pct", "kept"),
    [(622, 1.105, 17.852207792, 2.026), (625, 1.19, 19.318181818, 1.948)],
)
def test_two_logged_brews(
    beverage_g: float, strength_pct: float, extraction_pct: float, kept: float
) -> None:
    found = extraction_from_beverage(strength_pct, beverage_g, 38.5)
    assert found == pytest.approx(extraction_pct, abs=1e-6)
    assert (700 - beverage_g) / 38.5 == pytest.approx(kept, abs=1e-3)
    assert kept == pytest.approx(RETAINED_G_PER_G, abs=0.3)


# The same log reckons (water - 2.08 × beans) × strength / beans: the classic drip form.
def test_a_logs_own_formula_is_the_classic_form() -> None:
    by_log = (700 - 2.08 * 38.5) * 1.105 / 38.5
    assert extraction_drip_classic(1.105, 700 / 38.5, 2.08) == pytest.approx(by_log)
    assert pytest.approx(2.08, abs=0.3) == RETAINED_G_PER_G


# Arithmetic examples, by hand.
def test_worked_examples() -> None:
    assert extraction_from_beverage(1.4, 220, 15) == pytest.approx(20.53, abs=0.01)
    assert extraction_immersion(1.2, 18) == pytest.approx(21.86, abs=0.01)


# At an equilibrium extraction of 21.51 % (Liang, Chan & Ristenpart 2021: about 21 %, K 0.717 of
# 30 % from memory); the mass balance, and the simpler E / R in brackets.
@pytest.mark.parametrize(
    ("ratio", "strength_pct", "simple_pct"),
    [
        (10, 2.106, 2.151),
        (12, 1.761, 1.792),
        (15, 1.414, 1.434),
        (16, 1.327, 1.344),
        (18, 1.181, 1.195),
        (20, 1.064, 1.075),
    ],
)
def test_immersion_strength(ratio: float, strength_pct: float, simple_pct: float) -> None:
    assert strength_immersion(21.51, ratio) == pytest.approx(strength_pct, abs=1e-3)
    assert strength_immersion(21.51, ratio) == pytest.approx(simple_pct, abs=0.05)


# Decanted immersion keeps about 3 mL/g: trade teaching, from memory.
def test_immersion_keeps_more_than_drip() -> None:
    assert pytest.approx(3.0, abs=0.5) == RETAINED_IMMERSION_G_PER_G


@given(EXTRACTIONS, RATIOS, KEPT)
def test_each_equation_and_its_inverse_round_trip(
    extraction_pct: float, ratio: float, kept: float
) -> None:
    classic = strength_drip_classic(extraction_pct, ratio, kept)
    dissolved = strength_drip_dissolved(extraction_pct, ratio, kept)
    immersion = strength_immersion(extraction_pct, ratio)
    assert extraction_drip_classic(classic, ratio, kept) == pytest.approx(extraction_pct)
    assert extraction_drip_dissolved(dissolved, ratio, kept) == pytest.approx(extraction_pct)
    assert extraction_immersion(immersion, ratio) == pytest.approx(extraction_pct)
    assert ratio_drip_classic(classic, extraction_pct, kept) == pytest.approx(ratio)


@given(STRENGTHS, RATIOS)
def test_immersion_is_all_its_beverage_at_one_strength(strength_pct: float, ratio: float) -> None:
    beverage_g = 10.0 * ratio / (1.0 - strength_pct / 100.0)  # the water and all that it dissolved
    assert extraction_from_beverage(strength_pct, beverage_g, 10.0) == pytest.approx(
        extraction_immersion(strength_pct, ratio)
    )


@given(EXTRACTIONS, RATIOS, KEPT, st.floats(0.01, 2.0))
def test_more_water_makes_a_weaker_cup(
    extraction_pct: float, ratio: float, kept: float, more: float
) -> None:
    for strength in (strength_drip_classic, strength_drip_dissolved):
        assert strength(extraction_pct, ratio + more, kept) < strength(extraction_pct, ratio, kept)
    assert strength_immersion(extraction_pct, ratio + more) < strength_immersion(
        extraction_pct, ratio
    )
