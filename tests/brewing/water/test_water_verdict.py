import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.water.targets import SCA_LATER, SCAA
from pourcoach.brewing.water.water import PRIVATE_SOURCES, Water, WaterSource
from pourcoach.brewing.water.water_verdict import Overall, judge_water, safety_words

GOOD = {
    "ph": 7.0,
    "tds_mgl": 150.0,
    "calcium_hardness_mgl": 68.0,
    "alkalinity_mgl": 40.0,
    "sodium_mgl": 10.0,
    "chlorine_mgl": 0.0,
}


@pytest.mark.parametrize(
    ("changes", "overall"),
    [
        ({}, Overall.MEETS),
        ({"tds_mgl": 260.0}, Overall.NEAR),
        ({"tds_mgl": 600.0}, Overall.MISSES),
        ({"sodium_mgl": None}, Overall.CANNOT_SAY),
        ({"sodium_mgl": None, "tds_mgl": 600.0}, Overall.MISSES),
    ],
)
def test_overall(changes: dict[str, float | None], overall: Overall) -> None:
    water = Water(source=WaterSource.MAINS, **{**GOOD, **changes})
    assert judge_water(water, SCAA).overall is overall


MGL = st.none() | st.floats(0.0, 300.0)


@given(
    st.sampled_from(sorted(PRIVATE_SOURCES, key=lambda source: source.value)),
    st.sampled_from([SCAA, SCA_LATER]),
    st.builds(
        Water,
        ph=st.none() | st.floats(6.0, 8.0),
        tds_mgl=MGL,
        calcium_hardness_mgl=MGL,
        alkalinity_mgl=st.none() | st.floats(5.0, 300.0),
        sodium_mgl=MGL,
        chlorine_mgl=MGL,
    ),
)
def test_untested_private_water_is_never_called_suitable(source, standard, measured) -> None:
    water = Water.from_dict({**measured.as_dict(), "source": source.value})
    verdict = judge_water(water, standard)
    assert verdict.overall is Overall.UNTESTED
    assert verdict.safety[0].startswith("untested: do not brew")


@pytest.mark.parametrize("source", list(WaterSource))
def test_a_tested_or_public_water_is_judged(source: WaterSource) -> None:
    water = Water(source=source, tested=True, **GOOD)
    assert judge_water(water, SCAA).overall is Overall.MEETS


@pytest.mark.parametrize("source", [None, *WaterSource])
@pytest.mark.parametrize("tested", [True, False])
def test_drinking_is_always_left_to_the_authority(source: WaterSource | None, tested: bool) -> None:
    assert "local authority" in safety_words(Water(source=source, tested=tested))[-1]


@pytest.mark.parametrize(
    ("source", "says"),
    [
        (WaterSource.WELL, "every year for coliform bacteria and nitrate"),
        (WaterSource.ROOF, "germs"),
        (WaterSource.WELL, "nitrate above 10 mg/L as nitrogen harms infants"),
        (WaterSource.WELL, "does not disinfect"),
        # Dorris et al. 2025, Emerg. Infect. Dis. 31(8), table of authorities.
        (WaterSource.ROOF, "CDC: rolling for 1 min, above 1981 m for 3 min; WHO: until it rolls"),
        (WaterSource.SURFACE, "concentrates them"),
        (None, "must be found fit to drink"),
    ],
)
def test_what_each_source_is_warned_of(source: WaterSource | None, says: str) -> None:
    assert says in " ".join(safety_words(Water(source=source)))


@pytest.mark.parametrize(
    ("water", "softened"),
    [
        (Water(hardness_mgl=5, alkalinity_mgl=200, sodium_mgl=92), True),
        (Water(calcium_hardness_mgl=5, alkalinity_mgl=200, sodium_mgl=92), True),
        (Water(hardness_mgl=150, alkalinity_mgl=200, sodium_mgl=92), False),
        # Naturally soft: little of anything.
        (Water(hardness_mgl=10, alkalinity_mgl=12, sodium_mgl=5), False),
        # Softened by a hydrogen or potassium exchanger, or built up with potassium.
        (Water(hardness_mgl=5, alkalinity_mgl=100, sodium_mgl=4), False),
        (Water(hardness_mgl=5, alkalinity_mgl=200), False),
    ],
)
def test_sodium_softened_water_is_recognised(water: Water, softened: bool) -> None:
    assert (judge_water(water, SCAA).softened is not None) == softened


def test_scale_is_reported_cold_and_hot() -> None:
    cold, closed, opened = judge_water(Water(**GOOD), SCAA, hot_c=93.0).scaling
    assert [one.temperature_c for one in (cold, closed, opened)] == [25.0, 93.0, 93.0]
    assert opened.saturation_index > closed.saturation_index > cold.saturation_index
    assert judge_water(Water(), SCAA).scaling == ()
