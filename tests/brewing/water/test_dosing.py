import pytest
from hypothesis import given
from hypothesis import strategies as st
from phreeqpython import PhreeqPython

from pourcoach.brewing.water.additive import Additive, additive
from pourcoach.brewing.water.dosing import dose_towards
from pourcoach.brewing.water.water import DEMINERALISED, Water
from pourcoach.domain.errors import UsageError

TRIO = [additive("calcium-chloride"), additive("epsom-salt"), additive("baking-soda")]
# The SCAA standard's calcium and alkalinity, with some magnesium.
AIMS = {"calcium_hardness_mgl": 68.0, "magnesium_hardness_mgl": 20.0, "alkalinity_mgl": 40.0}


def test_by_hand() -> None:
    dose = dose_towards(DEMINERALISED, AIMS, TRIO, litres=10.0)
    grams = {one.name: grams for one, grams in dose.grams}
    # 68 / 100.0869 mmol of CaCl2·2H2O at 147.014 g/mol and so on, times ten litres.
    assert grams == pytest.approx(
        {
            "calcium-chloride-dihydrate": 0.68 / 100.0869 * 147.014,
            "magnesium-sulphate-heptahydrate": 0.20 / 100.0869 * 246.474,
            "baking-soda": 0.40 / 50.04345 * 84.0066,
        },
        rel=1e-3,
    )
    assert dose.misses_mgl == pytest.approx(dict.fromkeys(AIMS, 0.0), abs=1e-9)
    assert dose.result.sodium_mgl == pytest.approx(40 / 50.04345 * 22.98977, rel=1e-4)
    assert dose.result.ph is None


def test_the_dosed_water_agrees_with_phreeqc() -> None:
    dose = dose_towards(DEMINERALISED, AIMS, TRIO, litres=1.0)
    grams = {one.name: grams for one, grams in dose.grams}
    made = PhreeqPython().add_solution(
        {
            "units": "mg/kgw",
            "pH": "7.0 charge",
            "Ca": f"{1000 * grams['calcium-chloride-dihydrate']} as CaCl2(H2O)2",
            "Cl": 2 * 35.453 / 147.014 * 1000 * grams["calcium-chloride-dihydrate"],
            "Mg": f"{1000 * grams['magnesium-sulphate-heptahydrate']} as MgSO4(H2O)7",
            "S(6)": f"{1000 * grams['magnesium-sulphate-heptahydrate']} as MgSO4(H2O)7",
            "Na": f"{1000 * grams['baking-soda']} as NaHCO3",
            "C(4)": f"{1000 * grams['baking-soda']} as NaHCO3",
        }
    )
    assert made.total("Ca") * 100.0869 == pytest.approx(68.0, rel=1e-3)
    assert made.total("Mg") * 100.0869 == pytest.approx(20.0, rel=1e-3)
    # Alkalinity is what the sodium brought: PHREEQC finds it from the charge balance.
    assert made.total("Na") * 50.04345 == pytest.approx(40.0, rel=1e-3)


WATERS = st.builds(
    Water,
    calcium_hardness_mgl=st.floats(0.0, 200.0),
    magnesium_hardness_mgl=st.floats(0.0, 100.0),
    alkalinity_mgl=st.floats(0.0, 200.0),
    sodium_mgl=st.floats(0.0, 100.0),
)


@given(WATERS, st.floats(0.0, 300.0), st.floats(0.0, 300.0), st.floats(0.1, 20.0))
def test_what_can_be_raised_is_met_and_the_rest_left_alone(
    water: Water, calcium: float, alkalinity: float, litres: float
) -> None:
    aims = {"calcium_hardness_mgl": calcium, "alkalinity_mgl": alkalinity}
    pair = [additive("calcium-chloride"), additive("potassium-bicarbonate")]
    dose = dose_towards(water, aims, pair, litres)
    for item, aim in aims.items():
        had = getattr(water, item)
        assert dose.misses_mgl[item] == pytest.approx(max(0.0, had - aim), abs=1e-6)
    assert all(grams >= 0 for _, grams in dose.grams)


@given(st.floats(0.5, 20.0))
def test_grams_go_with_the_litres(litres: float) -> None:
    one = dose_towards(DEMINERALISED, AIMS, TRIO, 1.0)
    many = dose_towards(DEMINERALISED, AIMS, TRIO, litres)
    for (_, for_one), (_, for_many) in zip(one.grams, many.grams, strict=True):
        assert for_many == pytest.approx(for_one * litres)


def test_a_concentrate_counts_with_its_own_water() -> None:
    """Left out, a weak concentrate was said to bring 34 where it brought 29.6."""
    dose = dose_towards(DEMINERALISED, {"alkalinity_mgl": 40.0}, [additive("baking-soda@10")], 1.0)
    ((soda, grams),) = dose.grams
    # By hand: g grams bring 5.957 g mg of alkalinity into 1 + 0.00099 g litres.
    assert grams == pytest.approx(40.0 / (soda.alkalinity_mgl - 40.0 * 0.00099))
    assert dose.makes_litres == pytest.approx(1.0 + 0.00099 * grams)
    assert dose.misses_mgl["alkalinity_mgl"] == pytest.approx(0.0, abs=1e-9)


def test_what_was_there_is_diluted_too() -> None:
    hard = Water(calcium_hardness_mgl=100.0, alkalinity_mgl=10.0, chlorine_mgl=0.5)
    dose = dose_towards(hard, {"alkalinity_mgl": 100.0}, [additive("baking-soda@5")], 2.0)
    thinner = 2.0 / dose.makes_litres
    assert thinner < 0.98
    assert dose.result.calcium_hardness_mgl == pytest.approx(100.0 * thinner)
    assert dose.result.chlorine_mgl == pytest.approx(0.5 * thinner)
    assert dose.result.alkalinity_mgl == pytest.approx(100.0)


def test_the_dosed_water_is_what_phreeqc_mixes() -> None:
    dose = dose_towards(DEMINERALISED, {"alkalinity_mgl": 40.0}, [additive("baking-soda@2")], 1.0)
    ((_, grams),) = dose.grams
    engine = PhreeqPython()
    soda = engine.add_solution({"units": "mg/kgw", "pH": 8.0, "Na": "2004.0 as NaHCO3"})
    pure = engine.add_solution({"units": "mg/kgw", "pH": 7.0})
    mixed = soda * (grams * 0.998 / (1000.0 + grams * 0.998)) + pure * (
        1000.0 / (1000.0 + grams * 0.998)
    )
    assert mixed.total("Na", "mmol") * 50.04345 == pytest.approx(40.0, rel=1e-3)


def test_the_cap_on_a_concentrate_is_said() -> None:
    weak = dose_towards(DEMINERALISED, {"alkalinity_mgl": 40.0}, [additive("baking-soda@1")], 1.0)
    assert [one.name for one in weak.at_their_most] == ["baking-soda at 1 g/kg"]
    assert weak.grams[0][1] == pytest.approx(50.0)
    assert weak.misses_mgl["alkalinity_mgl"] == pytest.approx(
        0.5957 * 50.0 / 1.04995 - 40.0, abs=0.01
    )
    strong = dose_towards(DEMINERALISED, {"alkalinity_mgl": 40.0}, [additive("baking-soda")], 1.0)
    assert strong.at_their_most == ()


def test_epsom_salt_brings_its_sulphate() -> None:
    dose = dose_towards(DEMINERALISED, {"magnesium_hardness_mgl": 50.0}, TRIO[1:2], 1.0)
    # One mole of sulphate with each of magnesium: 50 / 100.0869 × 96.06.
    assert dose.result.sulphate_mgl == pytest.approx(47.99, abs=0.01)


def test_aims_that_fight_are_met_halfway() -> None:
    # Baking soda brings both; alkalinity wants more than sodium allows.
    aims = {"alkalinity_mgl": 80.0, "sodium_mgl": 10.0}
    dose = dose_towards(DEMINERALISED, aims, [additive("baking-soda")], 1.0)
    assert dose.misses_mgl["alkalinity_mgl"] < 0 < dose.misses_mgl["sodium_mgl"]


@pytest.mark.parametrize(
    ("water", "aims", "additives", "litres", "says"),
    [
        (DEMINERALISED, {}, TRIO, 1.0, "nothing to solve"),
        (DEMINERALISED, AIMS, [], 1.0, "nothing to add"),
        (DEMINERALISED, {"ph": 7.0}, TRIO, 1.0, "is no aim"),
        (DEMINERALISED, {"alkalinity_mgl": -4.0}, TRIO, 1.0, "cannot be"),
        (DEMINERALISED, AIMS, TRIO, 0.0, "0 litres"),
        (Water(), {"alkalinity_mgl": 40.0}, TRIO, 1.0, "alkalinity is unknown"),
    ],
)
def test_what_cannot_be_is_refused(
    water: Water, aims: dict[str, float], additives: list[Additive], litres: float, says: str
) -> None:
    with pytest.raises(UsageError, match=says):
        dose_towards(water, aims, additives, litres)
