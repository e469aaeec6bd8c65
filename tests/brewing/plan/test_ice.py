import pytest

from pourcoach.brewing.plan.ice import chill
from pourcoach.brewing.plan.pour_plan import work_out
from pourcoach.brewing.plan.request import PlanRequest


def test_what_the_coffee_gives_the_ice_takes() -> None:
    # 160 g at 80 °C give 53.6 kJ; 120 g of ice take 40.0 kJ to melt; 280 g of water keep the rest.
    chilled = chill(160.0, 120.0)
    assert chilled.left_g == 0.0
    assert chilled.temperature_c == pytest.approx((53.632 - 40.032) / (0.280 * 4.19), abs=0.01)


def test_ice_stays_where_there_is_too_much_of_it() -> None:
    chilled = chill(100.0, 150.0)
    assert chilled.temperature_c == 0.0
    assert chilled.left_g == pytest.approx(150.0 - 33.52 / 0.3336, abs=0.01)


def test_without_ice_nothing_is_chilled() -> None:
    assert chill(200.0, 0.0).temperature_c == pytest.approx(80.0)


@pytest.mark.parametrize(("ice_g", "says"), [(80.0, "all of it melts"), (160.0, "g of it stay")])
def test_the_reasons_say_what_becomes_of_the_ice(ice_g: float, says: str) -> None:
    (reason,) = (
        reason
        for reason in work_out(PlanRequest(dose_g=20.0, ice_g=ice_g)).reasons
        if reason.startswith("ice:")
    )
    assert says in reason
