import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.strength.measured import Measured
from pourcoach.brewing.strength.measured_brew import (
    ExtractionMethod,
    MeasuredBrew,
    work_out_extraction,
)
from pourcoach.domain.errors import UsageError

USUAL = MeasuredBrew(
    dose_g=Measured(20.0, 0.1),
    strength_pct=Measured(1.3, 0.03),
    beverage_g=Measured(280.0, 1.0),
    water_g=Measured(320.0, 1.0),
)


# 20 g, 320 g of water, 1.3 %; 280 g in the server: algebra.
@pytest.mark.parametrize(
    ("method", "extraction_pct"),
    [
        (ExtractionMethod.BEVERAGE, 18.2),
        (ExtractionMethod.DRIP_CLASSIC, 18.2),
        (ExtractionMethod.DRIP_DISSOLVED, 18.2 / 0.987),
        (ExtractionMethod.IMMERSION, 20.8 / 0.987),
    ],
)
def test_each_method(method: ExtractionMethod, extraction_pct: float) -> None:
    found = work_out_extraction(replace(USUAL, method=method))
    assert found.extraction_pct.value == pytest.approx(extraction_pct)
    assert found.ratio == 16.0
    assert found.kept_g_per_g == 2.0


def test_water_given_as_beverage_is_refused() -> None:
    # A slip often printed: 20 g, 320 g of water and 1.3 % make "20.8 %", where it is 18.2 %.
    with pytest.raises(UsageError, match="water poured is not beverage") as refusal:
        work_out_extraction(replace(USUAL, beverage_g=Measured(320.0)))
    assert "would leave 0.0 g in each gram of grounds" in str(refusal.value)


@pytest.mark.parametrize("beverage_g", [310.0, 200.0])
@pytest.mark.parametrize(
    ("method", "usual"), [(ExtractionMethod.BEVERAGE, 2), (ExtractionMethod.IMMERSION, 3)]
)
def test_too_little_or_too_much_kept_is_refused(
    beverage_g: float, method: ExtractionMethod, usual: int
) -> None:
    with pytest.raises(UsageError, match=f"in each gram of grounds, where about {usual} is"):
        work_out_extraction(replace(USUAL, beverage_g=Measured(beverage_g), method=method))


@pytest.mark.parametrize(
    ("reading", "says"),
    [
        (replace(USUAL, beverage_g=None), "needs the beverage's mass"),
        (
            replace(USUAL, method=ExtractionMethod.DRIP_CLASSIC, water_g=None),
            "needs the brew water's mass",
        ),
        (
            replace(USUAL, method=ExtractionMethod.IMMERSION, water_g=None),
            "needs the brew water's mass",
        ),
        (
            replace(USUAL, method=ExtractionMethod.DRIP_CLASSIC, retained=Measured(16.0)),
            "leaves nothing in the cup",
        ),
        (replace(USUAL, dose_g=Measured(0.0)), "a dose of 0 g"),
        (replace(USUAL, dose_g=Measured(math.nan)), "a dose of nan g"),
        (replace(USUAL, strength_pct=Measured(0.013)), "1.3, not 0.013"),
        (replace(USUAL, strength_pct=Measured(13.0)), "none of filter coffee"),
        (replace(USUAL, strength_pct=Measured(2.4, 0.03)), "of coffee dissolves at all"),
    ],
)
def test_what_cannot_be_is_refused(reading: MeasuredBrew, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        work_out_extraction(reading)


def test_error_by_hand() -> None:
    # Relative errors 0.03 / 1.3, 1 / 280 and 0.1 / 20, added in squares.
    found = work_out_extraction(USUAL)
    relative = math.sqrt((0.03 / 1.3) ** 2 + (1 / 280) ** 2 + (0.1 / 20) ** 2)
    assert found.extraction_pct.error == pytest.approx(18.2 * relative, rel=1e-6)
    # One reading feeds both: cov(E, S) = dE/dS var S = (B / D) var S.
    assert found.covariance_pct2 == pytest.approx(14.0 * 0.03**2, rel=1e-6)


def test_the_kept_liquid_is_the_larger_doubt_without_a_beverage_mass() -> None:
    weighed = work_out_extraction(USUAL)
    taken = work_out_extraction(replace(USUAL, method=ExtractionMethod.DRIP_CLASSIC))
    assert taken.extraction_pct.error > weighed.extraction_pct.error
    # dE/dL = -S: 1.3 % times 0.3 g/g adds 0.39 % in squares.
    exact = replace(USUAL, method=ExtractionMethod.DRIP_CLASSIC, retained=Measured(2.0))
    known = work_out_extraction(exact).extraction_pct.error
    assert taken.extraction_pct.error == pytest.approx(math.hypot(known, 0.39), rel=1e-6)


@given(st.floats(0.8, 1.6), st.floats(0.001, 0.1), st.sampled_from(ExtractionMethod))
def test_a_surer_reading_makes_a_surer_extraction(
    strength_pct: float, error: float, method: ExtractionMethod
) -> None:
    reading = replace(USUAL, method=method, strength_pct=Measured(strength_pct, error))
    surer = replace(reading, strength_pct=Measured(strength_pct, error / 2))
    assert (
        work_out_extraction(surer).extraction_pct.error
        < work_out_extraction(reading).extraction_pct.error
    )


def test_the_working_shows_formula_numbers_and_source() -> None:
    working = work_out_extraction(USUAL).working
    assert working.lines() == [
        "E = S × B / D",
        "  1.3 % × 280 g / 20 g = 18.20 %",
        "  source: by definition: dissolved solids over coffee",
    ]
    for method in ExtractionMethod:
        shown = work_out_extraction(replace(USUAL, method=method)).working
        assert shown.formula.startswith("E = S × ")
        assert shown.source


def test_ice_in_the_cup_counts_as_water_for_what_the_grounds_kept() -> None:
    brew = MeasuredBrew(
        dose_g=Measured(20.0),
        strength_pct=Measured(1.35),
        beverage_g=Measured(280.0),
        water_g=Measured(200.0),
        added_g=Measured(120.0),
    )
    found = work_out_extraction(brew)
    # E = S B / D: 1.35 % of 280 g on 20 g. Kept: 200 + 120 - 280 = 40 g on 20 g.
    assert found.extraction_pct.value == pytest.approx(18.9)
    assert (found.kept_g_per_g, found.ratio) == (2.0, 16.0)
    with pytest.raises(UsageError, match="would leave -4"):
        work_out_extraction(replace(brew, added_g=None))


def test_the_drip_equations_take_what_was_added() -> None:
    brew = MeasuredBrew(
        dose_g=Measured(20.0),
        strength_pct=Measured(1.35),
        method=ExtractionMethod.DRIP_CLASSIC,
        water_g=Measured(200.0),
        added_g=Measured(120.0),
    )
    # E = S (R - L): the same cup as above.
    assert work_out_extraction(brew).extraction_pct.value == pytest.approx(18.9)
    with pytest.raises(UsageError, match="before it is added"):
        work_out_extraction(replace(brew, method=ExtractionMethod.IMMERSION))
