import pytest

from pourcoach.brewing.water.aims import amount_of, refuse_aims, scales_of
from pourcoach.brewing.water.water import Water
from pourcoach.domain.errors import UsageError


def test_a_miss_is_measured_against_the_aims_own_size() -> None:
    assert scales_of({"alkalinity_mgl": 40.0, "sodium_mgl": 2.0}) == {
        "alkalinity_mgl": 40.0,
        "sodium_mgl": 10.0,
    }


def test_total_hardness_may_come_from_its_parts() -> None:
    water = Water(calcium_hardness_mgl=50.0, magnesium_hardness_mgl=20.0)
    assert amount_of(water, "hardness_mgl") == 70.0
    with pytest.raises(UsageError, match="sodium is unknown"):
        amount_of(water, "sodium_mgl")


@pytest.mark.parametrize("aim", [-1.0, float("nan"), 9999.0])
def test_an_impossible_aim_is_refused(aim: float) -> None:
    with pytest.raises(UsageError, match="cannot be"):
        refuse_aims({"alkalinity_mgl": aim})
