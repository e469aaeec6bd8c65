import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.water.units import (
    ALKALINITY_UNITS,
    CALCIUM_UNITS,
    HARDNESS_UNITS,
    MAGNESIUM_UNITS,
    PLAIN_UNITS,
    SODIUM_UNITS,
    milligrams_per_litre,
)
from pourcoach.domain.errors import UsageError


# mg/L as CaCO3, from the definitions: 64.79891 mg to a grain, 3.785411784 and 4.54609 L to a US
# and an imperial gallon (NIST SP 811, from memory); 10 mg of CaO; molar masses (IUPAC).
@pytest.mark.parametrize(
    ("unit", "factor", "tolerance"),
    [
        ("gpg", 17.11806, 1e-5),
        ("°e", 14.25377, 1e-5),
        ("°dH", 17.848, 1e-3),
        ("°fH", 10.0, 0.0),
        ("mmol/L", 100.0869, 1e-3),
    ],
)
def test_units_of_hardness(unit: str, factor: float, tolerance: float) -> None:
    assert HARDNESS_UNITS[unit] == pytest.approx(factor, abs=tolerance)


# As rounded on pages: 17.12 (fbgtx.org, FAQ 124), 17.85 (ukaps.org forum, thread 35516).
@pytest.mark.parametrize(("unit", "printed"), [("gpg", 17.12), ("°dH", 17.85)])
def test_units_as_printed(unit: str, printed: float) -> None:
    assert HARDNESS_UNITS[unit] == pytest.approx(printed, abs=0.005)


# wiktel.com/standards/hardnes.htm: hardness = 2.497 Ca + 4.115 Mg, in mg/L.
def test_hardness_of_the_ions() -> None:
    assert CALCIUM_UNITS["mg/L Ca"] == pytest.approx(2.497, rel=1e-3)
    assert MAGNESIUM_UNITS["mg/L Mg"] == pytest.approx(4.115, rel=1e-3)


# SCAA water standard: "4 grains or 68 mg/L" is itself rounded.
def test_four_grains() -> None:
    assert milligrams_per_litre("4 gpg", CALCIUM_UNITS, "calcium") == pytest.approx(68.0, abs=1.0)


# Slips found on pages: a calculator with 10 for the German degree and 17.848 for the grain; a
# wiki that calls the US grain a Clark degree; a blog with 14.28 for Clark.
@pytest.mark.parametrize(
    ("unit", "wrong"), [("°dH", 10.0), ("gpg", 17.848), ("°e", 17.118), ("°e", 14.28)]
)
def test_printed_slips_are_not_ours(unit: str, wrong: float) -> None:
    assert HARDNESS_UNITS[unit] != pytest.approx(wrong, abs=0.02)


def test_alkalinity_as_equivalents_and_as_bicarbonate() -> None:
    # 1 meq of alkalinity is half a mmol of CaCO3, 50.04 mg, and 61.02 mg of HCO3.
    assert ALKALINITY_UNITS["meq/L"] == pytest.approx(50.04345, abs=1e-5)
    assert ALKALINITY_UNITS["mg/L HCO3"] * 61.0168 == pytest.approx(50.04345, abs=1e-5)


def test_a_mmol_of_alkalinity_is_refused_as_it_means_two_things() -> None:
    with pytest.raises(UsageError, match="can mean the carbonate or the acid"):
        milligrams_per_litre("2 mmol/L", ALKALINITY_UNITS, "alkalinity")


@pytest.mark.parametrize(
    ("text", "mgl"),
    [
        ("68", 68.0),
        ("68 mg/L", 68.0),
        ("68ppm", 68.0),
        (" 5 fH ", 50.0),
        ("5°fH", 50.0),
        ("0.5 °f H", 5.0),
        ("1e2", 100.0),
    ],
)
def test_reading(text: str, mgl: float) -> None:
    assert milligrams_per_litre(text, HARDNESS_UNITS, "hardness") == mgl


# As kits, bottles and supply reports write them.
@pytest.mark.parametrize(
    ("text", "units", "mgl"),
    [
        ("120 mg/L CaCO3", HARDNESS_UNITS, 120.0),
        ("120 mg/l as CaCO₃", ALKALINITY_UNITS, 120.0),
        ("120 ppm CaCO3", CALCIUM_UNITS, 120.0),
        ("120 mg CaCO3/L", MAGNESIUM_UNITS, 120.0),
        ("33,6 fH", HARDNESS_UNITS, 336.0),
        ("33,6 °f", HARDNESS_UNITS, 336.0),
        ("5 dKH", ALKALINITY_UNITS, 89.24),
        ("5 °dKH", ALKALINITY_UNITS, 89.24),
        ("5 dGH", HARDNESS_UNITS, 89.24),
        ("2,4 mval/L", ALKALINITY_UNITS, 120.104),
        ("2.4 mval", HARDNESS_UNITS, 120.104),
        ("2.4 meq/L", CALCIUM_UNITS, 120.104),
        ("146.44 mg/L HCO3-", ALKALINITY_UNITS, 120.104),
        ("146,44 mg/L HCO3⁻", ALKALINITY_UNITS, 120.104),
        ("146.44 HCO3", ALKALINITY_UNITS, 120.104),
        ("40.078 mg/L Ca2+", CALCIUM_UNITS, 100.0869),
        ("40.078 mg/l Ca²⁺", CALCIUM_UNITS, 100.0869),
        ("40.078 Ca++", CALCIUM_UNITS, 100.0869),
        ("24.305 mg/L Mg2+", MAGNESIUM_UNITS, 100.0869),
        ("10 mg/L Na+", SODIUM_UNITS, 10.0),
        ("0,5 mmol/L", SODIUM_UNITS, 11.494885),
        ("3 grains", HARDNESS_UNITS, 51.354),
        ("3 gr/gal", HARDNESS_UNITS, 51.354),
        ("3 Clark", HARDNESS_UNITS, 42.761),
    ],
)
def test_units_as_people_write_them(text: str, units: dict[str, float], mgl: float) -> None:
    assert milligrams_per_litre(text, units, "it") == pytest.approx(mgl, rel=1e-4)


@pytest.mark.parametrize(
    ("text", "units", "says"),
    [
        ("5 dKH", HARDNESS_UNITS, "dKH measures alkalinity"),
        ("5 dGH", ALKALINITY_UNITS, "dGH measures total hardness"),
        ("1,600 mg/L", HARDNESS_UNITS, "can mean 1600 or 1.600"),
        ("40 mg/L Mg", CALCIUM_UNITS, "unknown unit 'mg/L Mg'"),
    ],
)
def test_a_unit_of_another_thing_is_refused(text: str, units: dict[str, float], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        milligrams_per_litre(text, units, "it")


@given(st.floats(0.01, 100.0), st.sampled_from(sorted(HARDNESS_UNITS)))
def test_units_round_trip(amount: float, unit: str) -> None:
    mgl = milligrams_per_litre(f"{amount!r} {unit}", HARDNESS_UNITS, "hardness")
    assert mgl / HARDNESS_UNITS[unit] == pytest.approx(amount, rel=1e-12)


@pytest.mark.parametrize("text", ["", "dH", "soft", "-3 dH", "nan", "inf mg/L", "1.2.3 dH", "8 K"])
def test_what_is_no_amount_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match=r"no amount|unknown unit"):
        milligrams_per_litre(text, HARDNESS_UNITS, "hardness")


def test_a_unit_of_hardness_is_none_for_sodium() -> None:
    with pytest.raises(UsageError, match="known ones are mg/L, ppm"):
        milligrams_per_litre("3 dH", PLAIN_UNITS, "sodium")
