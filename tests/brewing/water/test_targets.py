from dataclasses import replace

import pytest

from pourcoach.brewing.water.targets import SCA_LATER, SCAA, ItemStanding, compare_with_targets
from pourcoach.brewing.water.water import Water

IDEAL = Water(
    ph=7.0,
    tds_mgl=150,
    calcium_hardness_mgl=68,
    alkalinity_mgl=40,
    sodium_mgl=10,
    chlorine_mgl=0,
)


# SCAA standard for brew water: aim and range of each item, in mg/L.
def test_the_scaa_standard_as_printed() -> None:
    ranges = {t.item: (t.aim, t.low, t.high) for t in SCAA.targets}
    assert ranges["tds_mgl"] == (150, 75, 250)
    assert ranges["calcium_hardness_mgl"] == (68, 17, 85)
    assert ranges["ph"] == (7.0, 6.5, 7.5)
    assert ranges["alkalinity_mgl"][0] == 40
    assert ranges["sodium_mgl"][0] == 10
    assert ranges["chlorine_mgl"][0] == 0


# Later SCA text as a roaster quotes it.
def test_the_later_text_as_printed() -> None:
    ranges = {t.item: (t.low, t.high) for t in SCA_LATER.targets}
    assert ranges == {
        "total_hardness_mgl": (50, 175),
        "alkalinity_mgl": (40, 70),
        "ph": (6.0, 8.0),
    }


def test_the_aims_themselves_stand_in() -> None:
    assert {verdict.standing for verdict in compare_with_targets(IDEAL, SCAA)} == {ItemStanding.IN}


@pytest.mark.parametrize(
    ("item", "value", "standing"),
    [
        ("tds_mgl", 75, ItemStanding.IN),
        ("tds_mgl", 250, ItemStanding.IN),
        ("tds_mgl", 74, ItemStanding.NEAR),
        ("tds_mgl", 300, ItemStanding.NEAR),
        ("tds_mgl", 301, ItemStanding.OUT),
        ("tds_mgl", 59, ItemStanding.OUT),
        ("calcium_hardness_mgl", 16, ItemStanding.NEAR),
        ("calcium_hardness_mgl", 200, ItemStanding.OUT),
        ("ph", 7.6, ItemStanding.NEAR),
        ("ph", 7.8, ItemStanding.OUT),
        ("ph", 6.2, ItemStanding.OUT),
        ("sodium_mgl", 0, ItemStanding.IN),
        ("chlorine_mgl", 0.5, ItemStanding.OUT),
        ("alkalinity_mgl", None, ItemStanding.UNKNOWN),
    ],
)
def test_each_item_stands_by_itself(item: str, value: float | None, standing: ItemStanding) -> None:
    verdicts = {
        v.target.item: v for v in compare_with_targets(replace(IDEAL, **{item: value}), SCAA)
    }
    assert verdicts[item].standing is standing
    assert (verdicts[item].means != "") == (standing in (ItemStanding.NEAR, ItemStanding.OUT))
    assert {v.standing for name, v in verdicts.items() if name != item} == {ItemStanding.IN}


@pytest.mark.parametrize(
    ("total", "standing"),
    # Calcium is at most the total and hardly less than half of it: 17-85 is in, 85-102 near.
    [
        (60, ItemStanding.IN),
        (214, ItemStanding.OUT),
        (100, ItemStanding.UNKNOWN),
        (5, ItemStanding.OUT),
    ],
)
def test_total_hardness_bounds_calcium(total: float, standing: ItemStanding) -> None:
    water = replace(IDEAL, calcium_hardness_mgl=None, hardness_mgl=total)
    (verdict,) = (v for v in compare_with_targets(water, SCAA) if v.at_most)
    assert verdict.target.item == "calcium_hardness_mgl"
    assert (verdict.value, verdict.standing) == (total, standing)


def test_each_consequence_names_cup_and_machine() -> None:
    for standard in (SCAA, SCA_LATER):
        for target in standard.targets:
            for means in filter(None, (target.too_low, target.too_high)):
                assert means.startswith("cup: ")
                assert "machine: " in means or "filter" in means
