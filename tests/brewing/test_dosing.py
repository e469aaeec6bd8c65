import pytest
from hypothesis import given
from hypothesis import strategies as st
from phreeqpython import PhreeqPython

from pourcoach.brewing.additive import SALTS, Additive, additive
from pourcoach.brewing.dosing import dose_towards
from pourcoach.brewing.water import DEMINERALISED, Water
from pourcoach.domain.errors import UsageError

TRIO = [SALTS["calcium-chloride"], SALTS["epsom-salt"], SALTS["baking-soda"]]
# The SCAA standard's calcium and alkalinity, with some magnesium.
AIMS = {"calcium_hardness_mgl": 68.0, "magnesium_hardness_mgl": 20.0, "alkalinity_mgl": 40.0}


def test_by_hand() -> None:
    dose = dose_towards(DEMINERALISED, AIMS, TRIO, litres=10.0)
    grams = {one.name: grams for one, grams in dose.grams}
    # 68 / 100.0869 mmol of CaCl2·2H2O at 147.014 g/mol and so on, times ten litres.
    assert grams == pytest.approx(
        {
            "calcium-chloride": 0.68 / 100.0869 * 147.014,
            "epsom-salt": 0.20 / 100.0869 * 246.474,
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
            "Ca": f"{1000 * grams['calcium-chloride']} as CaCl2(H2O)2",
            "Cl": 2 * 35.453 / 147.014 * 1000 * grams["calcium-chloride"],
            "Mg": f"{1000 * grams['epsom-salt']} as MgSO4(H2O)7",
            "S(6)": f"{1000 * grams['epsom-salt']} as MgSO4(H2O)7",
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
    pair = [SALTS["calcium-chloride"], SALTS["potassium-bicarbonate"]]
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


def test_concentrates_take_their_share_more() -> None:
    dry = dose_towards(DEMINERALISED, {"alkalinity_mgl": 40.0}, [additive("baking-soda")], 1.0)
    wet = dose_towards(DEMINERALISED, {"alkalinity_mgl": 40.0}, [additive("baking-soda@10")], 1.0)
    assert wet.grams[0][1] == pytest.approx(100 * dry.grams[0][1])


def test_aims_that_fight_are_met_halfway() -> None:
    # Baking soda brings both; alkalinity wants more than sodium allows.
    aims = {"alkalinity_mgl": 80.0, "sodium_mgl": 10.0}
    dose = dose_towards(DEMINERALISED, aims, [SALTS["baking-soda"]], 1.0)
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
