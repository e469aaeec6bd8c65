"""Published burn times conflict, so only when the caution comes and how it moves is pinned."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.temperature.scald import burns_within_s, scald_caution


@given(st.floats(49.0, 100.0))
def test_the_caution_is_given_from_49_degrees(temperature_c: float) -> None:
    assert scald_caution(temperature_c) is not None


@given(st.floats(0.0, 48.99))
def test_lukewarm_water_needs_none(temperature_c: float) -> None:
    assert scald_caution(temperature_c) is None


@given(st.floats(49.0, 65.0), st.floats(49.0, 65.0))
def test_times_never_rise_with_temperature(one: float, other: float) -> None:
    cooler, hotter = sorted((one, other))
    slower, faster = burns_within_s(cooler), burns_within_s(hotter)
    assert slower is not None
    assert faster is not None
    assert faster <= slower


@pytest.mark.parametrize("temperature_c", [65.1, 80.0, 94.0])
def test_no_seconds_are_printed_above_65_degrees(temperature_c: float) -> None:
    assert burns_within_s(temperature_c) is None
    caution = scald_caution(temperature_c)
    assert caution is not None
    assert "about a second or less; children faster" in caution
