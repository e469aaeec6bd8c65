import pytest
from hypothesis import given
from hypothesis import strategies as st
from phreeqpython import PhreeqPython

from pourcoach.brewing.water.water import (
    DEMINERALISED,
    Water,
    WaterSource,
    blend,
    share_to_reach,
)
from pourcoach.domain.errors import UsageError

MGL = st.floats(0.0, 500.0)
KNOWN = st.builds(
    Water,
    tds_mgl=MGL,
    calcium_hardness_mgl=MGL,
    magnesium_hardness_mgl=MGL,
    alkalinity_mgl=MGL,
    sodium_mgl=MGL,
    chlorine_mgl=MGL,
)
ITEMS = ("tds_mgl", "calcium_hardness_mgl", "total_hardness_mgl", "alkalinity_mgl", "sodium_mgl")


@given(KNOWN, KNOWN, st.floats(0.0, 1.0))
def test_blending_is_linear(one: Water, other: Water, share: float) -> None:
    mixed = blend([(one, share), (other, 1.0 - share)])
    for item in ITEMS:
        expected = share * getattr(one, item) + (1.0 - share) * getattr(other, item)
        assert getattr(mixed, item) == pytest.approx(expected, abs=1e-9)


@given(KNOWN, KNOWN, st.floats(0.1, 10.0), st.floats(0.1, 10.0), st.floats(0.1, 10.0))
def test_only_the_shares_proportion_counts(
    one: Water, other: Water, a: float, b: float, scale: float
) -> None:
    plain, scaled = blend([(one, a), (other, b)]), blend([(one, a * scale), (other, b * scale)])
    for item in ITEMS:
        assert getattr(scaled, item) == pytest.approx(getattr(plain, item), rel=1e-9, abs=1e-9)


def test_a_mix_agrees_with_phreeqc() -> None:
    # 40 parts of a water with 180 mg/L of calcium hardness in 60 of pure water, by PHREEQC.
    engine = PhreeqPython()
    hard = engine.add_solution(
        {"units": "mg/kgw", "pH": 7.6, "Ca": "180 as CaCO3", "Alkalinity": "120 as CaCO3",
         "Cl": "1 charge"}
    )  # fmt: skip
    mixed = engine.mix_solutions({hard: 0.4, engine.add_solution({}): 0.6})
    ours = blend(
        [(Water(ph=7.6, calcium_hardness_mgl=180.0, alkalinity_mgl=120.0), 40), (DEMINERALISED, 60)]
    )
    assert ours.calcium_hardness_mgl == pytest.approx(72.0)
    # Averaging 7.6 with the 7.0 of pure water would say 7.24; the mix keeps most of its pH.
    assert mixed.pH == pytest.approx(7.6, abs=0.1)
    assert ours.ph is None
    # PHREEQC's own molar mass of CaCO3 differs in the fifth figure.
    assert mixed.total("Ca") == pytest.approx(0.4 * hard.total("Ca"), rel=1e-6)
    assert ours.calcium_hardness_mgl == pytest.approx(mixed.total("Ca") * 100.0869, rel=1e-4)


def test_ph_is_never_averaged() -> None:
    assert blend([(Water(ph=7.6), 0.4), (Water(ph=7.0), 0.6)]).ph is None


def test_what_one_part_leaves_unknown_is_unknown() -> None:
    mixed = blend([(Water(alkalinity_mgl=100.0, sodium_mgl=5.0), 1), (Water(sodium_mgl=15.0), 1)])
    assert mixed.alkalinity_mgl is None
    assert mixed.sodium_mgl == 10.0


@pytest.mark.parametrize(
    ("parts", "source", "untested"),
    [
        ([(Water(source=WaterSource.MAINS), 1), (DEMINERALISED, 1)], WaterSource.MAINS, False),
        ([(Water(source=WaterSource.WELL), 1), (DEMINERALISED, 99)], WaterSource.WELL, True),
        (
            [(Water(source=WaterSource.MAINS), 1), (Water(source=WaterSource.ROOF), 1)],
            WaterSource.ROOF,
            True,
        ),
        (
            [(Water(source=WaterSource.MAINS), 1), (Water(WaterSource.WELL, tested=True), 1)],
            WaterSource.WELL,
            False,
        ),
        (
            [(Water(WaterSource.WELL, tested=True), 1), (Water(source=WaterSource.ROOF), 1)],
            WaterSource.ROOF,
            True,
        ),
        (
            [(Water(source=WaterSource.WELL), 0), (DEMINERALISED, 1)],
            WaterSource.DEMINERALISED,
            False,
        ),
        ([(Water(source=WaterSource.MAINS), 1), (Water(), 1)], None, False),
    ],
)
def test_a_blend_is_as_risky_as_its_riskiest_part(
    parts: list[tuple[Water, float]], source: WaterSource | None, untested: bool
) -> None:
    mixed = blend(parts)
    assert (mixed.source, mixed.untested_private) == (source, untested)


@pytest.mark.parametrize("shares", [(), (0.0,), (-1.0,), (float("nan"),), (float("inf"),)])
def test_impossible_shares_are_refused(shares: tuple[float, ...]) -> None:
    with pytest.raises(UsageError, match="no blend"):
        blend([(DEMINERALISED, share) for share in shares])


@given(st.floats(1.0, 500.0), st.floats(0.01, 0.99))
def test_dilution_reaches_its_aim(value: float, part: float) -> None:
    share = share_to_reach("alkalinity", value, value * part)
    mixed = blend([(Water(alkalinity_mgl=value), share), (DEMINERALISED, 1 - share)])
    assert mixed.alkalinity_mgl == pytest.approx(value * part)


@pytest.mark.parametrize("aim", [0.0, 100.0, 150.0, float("nan")])
def test_dilution_cannot_raise(aim: float) -> None:
    with pytest.raises(UsageError, match="cannot be diluted"):
        share_to_reach("alkalinity", 100.0, aim)


@given(KNOWN, st.sampled_from([None, *WaterSource]), st.booleans(), st.none() | st.floats(5, 9))
def test_a_water_comes_back_equal(
    known: Water, source: WaterSource | None, tested: bool, ph: float | None
) -> None:
    water = Water.from_dict({**known.as_dict()})
    assert water == known
    given = Water(source, tested, ph, alkalinity_mgl=40.0)
    assert Water.from_dict(given.as_dict()) == given


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ({"ph": 14.5}, "pH 14.5"),
        ({"sodium_mgl": -1.0}, "sodium_mgl of -1"),
        ({"hardness_mgl": 50.0, "calcium_hardness_mgl": 120.0}, "look at their units"),
        ({"source": "moon"}, "source is 'moon'; use one of "),
        ({"tested": "yes"}, "tested is 'yes'"),
        ({"alkalinity_mgl": "40"}, "alkalinity_mgl is '40'"),
        ({"taste": 3}, "taste is not known here"),
    ],
)
def test_what_cannot_be_is_refused(data: dict[str, object], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        Water.from_dict(data)
