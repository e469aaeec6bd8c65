"""The bloom wait is a rule of thumb: only its bounds and its directions are pinned."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.brewing.plan.bloom import LEAST_WAIT_S, MOST_WAIT_S, Roast, bloom_wait

DOSES_G = st.floats(3.0, 150.0)
# A bloom of 8 s, as for 20 g at 5 g/s, where a test is not about it.
POURED_S = 8.0
DAYS = st.floats(0.0, 400.0)
ROASTS = st.sampled_from([None, *Roast])


@given(DOSES_G, ROASTS, DAYS, DAYS)
def test_never_rises_with_days_off_roast(
    dose_g: float, roast: Roast | None, one: float, other: float
) -> None:
    fresher, older = sorted((one, other))
    assert (
        bloom_wait(dose_g, POURED_S, roast, older).wait_s
        <= bloom_wait(dose_g, POURED_S, roast, fresher).wait_s
    )


@given(ROASTS, st.none() | DAYS, DOSES_G, DOSES_G)
def test_never_falls_with_the_dose(
    roast: Roast | None, days: float | None, one: float, other: float
) -> None:
    smaller, larger = sorted((one, other))
    assert (
        bloom_wait(smaller, POURED_S, roast, days).wait_s
        <= bloom_wait(larger, POURED_S, roast, days).wait_s
    )


@given(DOSES_G, st.none() | DAYS)
def test_never_falls_from_dark_to_light(dose_g: float, days: float | None) -> None:
    waits = [bloom_wait(dose_g, POURED_S, roast, days).wait_s for roast in reversed(Roast)]
    assert waits == sorted(waits)


@given(DOSES_G, st.floats(1.0, 60.0), ROASTS, st.none() | DAYS)
def test_stays_within_its_bounds_and_starts_the_next_pour_on_a_five(
    dose_g: float, poured_s: float, roast: Roast | None, days: float | None
) -> None:
    wait_s = bloom_wait(dose_g, poured_s, roast, days).wait_s
    assert LEAST_WAIT_S - 1e-9 <= wait_s <= MOST_WAIT_S + 1e-9
    assert (poured_s + wait_s) % 5.0 == pytest.approx(0.0, abs=1e-6) or (
        poured_s + wait_s
    ) % 5.0 == pytest.approx(5.0)


@given(DOSES_G, st.integers(1, 60), ROASTS, st.none() | DAYS)
def test_what_is_listed_adds_up_to_the_wait(
    dose_g: float, poured_s: int, roast: Roast | None, days: float | None
) -> None:
    wait = bloom_wait(dose_g, float(poured_s), roast, days)
    listed = [float(reason.split(" s")[0]) for reason in wait.reasons[:-1]]
    assert sum(listed) == pytest.approx(wait.wait_s)
    assert wait.reasons[-1] == f"= {wait.wait_s:.3g} s in all"


@given(DOSES_G, st.floats(1.0, 60.0))
def test_roast_and_age_are_each_seen_in_the_wait(dose_g: float, poured_s: float) -> None:
    """Light and fresh moved nothing once: both were lost in rounding to fives."""
    usual_s = bloom_wait(dose_g, poured_s).wait_s
    assert bloom_wait(dose_g, poured_s, Roast.LIGHT).wait_s == pytest.approx(usual_s + 5.0)
    assert bloom_wait(dose_g, poured_s, None, 3.0).wait_s == pytest.approx(usual_s + 5.0)
    assert bloom_wait(dose_g, poured_s, Roast.DARK).wait_s == pytest.approx(usual_s - 5.0)


@pytest.mark.parametrize(
    ("roast", "days", "dose_g"),
    [(Roast.LIGHT, None, 20.0), (None, 2.0, 20.0), (None, None, 40.0), (Roast.LIGHT, 2.0, 40.0)],
)
def test_moves_at_all(roast: Roast | None, days: float | None, dose_g: float) -> None:
    assert bloom_wait(dose_g, POURED_S, roast, days).wait_s > bloom_wait(20.0, POURED_S).wait_s


def test_says_that_it_is_a_rule_of_thumb_and_names_each_move() -> None:
    reasons = bloom_wait(40.0, POURED_S, Roast.DARK, 60.0).reasons
    assert "rule of thumb" in reasons[0]
    listed = [reason.split(":")[0] for reason in reasons[1:]]
    assert listed == ["-5 s", "-10 s", "+5 s", "+2 s", "= 17 s in all"]


def test_says_where_its_bound_holds_it() -> None:
    reasons = bloom_wait(20.0, POURED_S, Roast.DARK, 60.0).reasons
    assert "+5 s: 15 s is the least" in reasons
