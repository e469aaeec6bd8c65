import pytest

from pourcoach.brewing.water.amounts import AMOUNTS
from pourcoach.brewing.water.units import milligrams_per_litre
from pourcoach.brewing.water.water import Water


@pytest.mark.parametrize("name", AMOUNTS)
def test_each_amount_is_a_field_and_a_bare_number_of_mg_per_litre(name: str) -> None:
    field, units, noun = AMOUNTS[name]
    water = Water(**{field: milligrams_per_litre("12.5", units, noun)})
    assert getattr(water, field) == 12.5
