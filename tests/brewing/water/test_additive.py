import pytest
from phreeqpython import PhreeqPython

from pourcoach.brewing.water.additive import SALTS, additive, concentrate, other_forms
from pourcoach.domain.errors import UsageError

# A gram of each salt in a kilogram of water, by PHREEQC's own molar masses: element and formula.
PHREEQC_FORMULAS = {
    "calcium-chloride-dihydrate": ("Ca", "CaCl2(H2O)2"),
    "calcium-chloride-anhydrous": ("Ca", "CaCl2"),
    "calcium-chloride-hexahydrate": ("Ca", "CaCl2(H2O)6"),
    "magnesium-sulphate-heptahydrate": ("Mg", "MgSO4(H2O)7"),
    "magnesium-sulphate-anhydrous": ("Mg", "MgSO4"),
    "magnesium-chloride-hexahydrate": ("Mg", "MgCl2(H2O)6"),
    "magnesium-chloride-anhydrous": ("Mg", "MgCl2"),
    "baking-soda": ("Na", "NaHCO3"),
    "potassium-bicarbonate": ("K", "KHCO3"),
}


@pytest.mark.parametrize("name", SALTS)
def test_composition_agrees_with_phreeqc(name: str) -> None:
    element, formula = PHREEQC_FORMULAS[name]
    solution = PhreeqPython().add_solution(
        {"units": "mg/kgw", "pH": 7.0, element: f"1000 as {formula}"}
    )
    mmol = solution.total(element, "mmol")
    salt = SALTS[name]
    if element in ("Ca", "Mg"):
        hardness = salt.calcium_hardness_mgl + salt.magnesium_hardness_mgl
        assert hardness == pytest.approx(mmol * 100.0869, rel=1e-3)
    else:
        assert salt.alkalinity_mgl == pytest.approx(mmol * 50.04345, rel=1e-3)
    assert salt.sodium_mgl == pytest.approx(mmol * 22.98977 if element == "Na" else 0, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "dry_share"),
    # Without the crystal's water: 110.98 / 147.01, 120.37 / 246.47, 95.21 / 203.30.
    [("calcium-chloride", 0.7549), ("epsom-salt", 0.4884), ("magnesium-chloride", 0.4683),
     ("baking-soda", 1.0)],
)  # fmt: skip
def test_crystal_water_is_no_dissolved_solid(name: str, dry_share: float) -> None:
    assert additive(name).tds_mgl == pytest.approx(1000 * dry_share, abs=0.3)


# 147.01 / 110.98 g/mol: taking one for the other is a third too much or a quarter too little.
def test_crystal_water_decides_the_mass() -> None:
    dry, wet = additive("calcium-chloride-anhydrous"), additive("calcium-chloride")
    assert dry.calcium_hardness_mgl / wet.calcium_hardness_mgl == pytest.approx(1.3247, abs=1e-3)
    assert {one.formula for one in other_forms(wet)} == {"CaCl2", "CaCl2·6H2O"}
    assert other_forms(additive("baking-soda")) == ()


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("calcium-chloride", "calcium-chloride-dihydrate"),
        ("epsom-salt", "magnesium-sulphate-heptahydrate"),
        ("CaCl2", "calcium-chloride-anhydrous"),
        ("CaCl2.2H2O", "calcium-chloride-dihydrate"),
        ("MgSO4·7H2O", "magnesium-sulphate-heptahydrate"),
        ("nahco3", "baking-soda"),
    ],
)
def test_a_salt_is_named_by_trade_form_or_formula(text: str, name: str) -> None:
    assert additive(text).name == name


def test_a_concentrate_is_its_share_of_the_salt() -> None:
    solution = concentrate(SALTS["baking-soda"], 10.0)
    assert solution.alkalinity_mgl == pytest.approx(SALTS["baking-soda"].alkalinity_mgl / 100)
    assert solution == additive("baking-soda@10")
    assert solution.adds_ml == pytest.approx(0.99)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("table-salt", "unknown salt"),
        ("baking-soda@", "no concentration"),
        ("baking-soda@x", "no concentration"),
        ("baking-soda@0", "cannot be mixed"),
        ("baking-soda@999", "cannot be mixed"),
    ],
)
def test_what_cannot_be_is_refused(text: str, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        additive(text)
