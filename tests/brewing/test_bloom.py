"""The bloom wait is a house rule: only its bounds and its directions are pinned."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.bloom import LEAST_WAIT_S, MOST_WAIT_S, Roast, bloom_wait

DOSES_G = st.floats(3.0, 150.0)
DAYS = st.floats(0.0, 400.0)
ROASTS = st.sampled_from([None, *Roast])


@given(DOSES_G, ROASTS, DAYS, DAYS)
def test_never_rises_with_days_off_roast(
    dose_g: float, roast: Roast | None, one: float, other: float
) -> None:
    fresher, older = sorted((one, other))
    assert bloom_wait(dose_g, roast, older).wait_s <= bloom_wait(dose_g, roast, fresher).wait_s


@given(ROASTS, st.none() | DAYS, DOSES_G, DOSES_G)
def test_never_falls_with_the_dose(
    roast: Roast | None, days: float | None, one: float, other: float
) -> None:
    smaller, larger = sorted((one, other))
    assert bloom_wait(smaller, roast, days).wait_s <= bloom_wait(larger, roast, days).wait_s


@given(DOSES_G, st.none() | DAYS)
def test_never_falls_from_dark_to_light(dose_g: float, days: float | None) -> None:
    waits = [bloom_wait(dose_g, roast, days).wait_s for roast in reversed(Roast)]
    assert waits == sorted(waits)


@given(DOSES_G, ROASTS, st.none() | DAYS)
def test_stays_within_its_bounds(dose_g: float, roast: Roast | None, days: float | None) -> None:
    assert LEAST_WAIT_S <= bloom_wait(dose_g, roast, days).wait_s <= MOST_WAIT_S


@pytest.mark.parametrize(
    ("roast", "days", "dose_g"),
    [(Roast.LIGHT, None, 20.0), (None, 2.0, 20.0), (None, None, 40.0), (Roast.LIGHT, 2.0, 40.0)],
)
def test_moves_at_all(roast: Roast | None, days: float | None, dose_g: float) -> None:
    assert bloom_wait(dose_g, roast, days).wait_s > bloom_wait(20.0).wait_s


def test_says_that_it_is_a_house_rule_and_names_each_move() -> None:
    reasons = bloom_wait(40.0, Roast.DARK, 60.0).reasons
    assert "house rule" in reasons[0]
    assert [reason.split(":")[0] for reason in reasons[1:]] == ["-3 s", "-6 s", "+3 s"]
