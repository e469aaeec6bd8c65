import pytest

from pourcoach.brewing.water.langelier_short_form import (
    short_form_factors,
    short_form_saturation_ph,
)
from pourcoach.brewing.water.scaling import puckorius_index

# A public worked example, printed alike on several pages: pH 7.5, dissolved solids 320, calcium
# 150 and alkalinity 34 mg/L as CaCO3.
PH, TDS, CALCIUM, ALKALINITY = 7.5, 320.0, 150.0, 34.0


def test_factors_of_the_worked_example() -> None:
    assert short_form_factors(TDS, 25, CALCIUM, ALKALINITY) == pytest.approx(
        (0.15, 2.09, 1.78, 1.53), abs=0.005
    )
    _, b, _, _ = short_form_factors(TDS, 82, CALCIUM, ALKALINITY)
    assert b == pytest.approx(1.09, abs=0.005)


# At 82 °C the published +0.3 is from memory.
@pytest.mark.parametrize(("temperature_c", "index"), [(25, -0.7), (82, +0.3)])
def test_index_of_the_worked_example(temperature_c: float, index: float) -> None:
    saturation_ph = short_form_saturation_ph(TDS, temperature_c, CALCIUM, ALKALINITY)
    assert PH - saturation_ph == pytest.approx(index, abs=0.05)


def test_ryznar_of_the_worked_example() -> None:
    assert 2 * short_form_saturation_ph(TDS, 25, CALCIUM, ALKALINITY) - PH == pytest.approx(
        8.9, abs=0.07
    )


# Unrounded, by the same formula.
@pytest.mark.parametrize(("temperature_c", "saturation_ph"), [(25, 8.231), (82, 7.234)])
def test_unrounded(temperature_c: float, saturation_ph: float) -> None:
    found = short_form_saturation_ph(TDS, temperature_c, CALCIUM, ALKALINITY)
    assert found == pytest.approx(saturation_ph, abs=0.001)


# Factors in a pool photometer's manual (easymanua.ls, page 14): at 24 °C it reckons
# 7.6 + 0.6 + 2.2 + 2.1 - 12.1 = +0.4; the short form with 1000 mg/L of solids gives +0.29.
def test_a_pool_manuals_factor_table() -> None:
    index = 7.6 - short_form_saturation_ph(1000, 24, 400, 125)
    assert index == pytest.approx(0.29, abs=0.01)
    assert index == pytest.approx(0.4, abs=0.15)


def test_puckorius_of_the_worked_example() -> None:
    # The published example: alkalinity 34 with pHs 8.2 gives 9.6.
    assert puckorius_index(8.2, 34.0) == pytest.approx(9.6, abs=0.05)
