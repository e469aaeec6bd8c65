import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.water.water import Water, WaterSource
from pourcoach.brewing.water.water_file import waters_from_toml, waters_to_toml
from pourcoach.domain.errors import UsageError

WATERS = st.builds(
    Water,
    source=st.sampled_from([None, *WaterSource]),
    tested=st.booleans(),
    ph=st.none() | st.floats(4.0, 10.0),
    alkalinity_mgl=st.none() | st.floats(0.0, 500.0),
)


@given(st.dictionaries(st.text(min_size=1), WATERS, max_size=4))
def test_waters_come_back_equal(waters: dict[str, Water]) -> None:
    assert waters_from_toml(waters_to_toml(waters)) == waters


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[home", "not TOML"),
        ("home = 3", "line 1: home is 3; make it a table"),
        ("[home]\nph = 40", "pH 40"),
        ("[home]\nsalt = 1", "line 2: home\\.salt is not known here"),
    ],
)
def test_a_broken_file_is_refused(text: str, says: str) -> None:
    with pytest.raises(UsageError, match=says):
        waters_from_toml(text)
