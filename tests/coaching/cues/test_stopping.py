"""Learning how long a brewer takes from the word to still water."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pourcoach.coaching.cues.stopping import LEAST_S, MOST_S, learnt


@pytest.mark.parametrize(
    ("off_g", "expected_s"),
    [
        (0.0, 0.30),
        (1.0, 0.34),
        (-1.0, 0.26),
        (6.0, 0.30),
    ],
    ids=["landed", "late", "early", "no answer to the word"],
)
def test_one_stop_at_5_gps(off_g: float, expected_s: float) -> None:
    assert learnt(0.30, off_g, 5.0) == pytest.approx(expected_s)


def test_the_lead_settles_where_stops_land() -> None:
    lead_s = 0.25
    for _ in range(40):
        lead_s = learnt(lead_s, (0.42 - lead_s) * 6.0, 6.0)
    assert lead_s == pytest.approx(0.42, abs=0.001)


@given(
    lead_s=st.floats(LEAST_S, MOST_S), off_g=st.floats(-50.0, 50.0), flow_gps=st.floats(0.0, 15.0)
)
def test_the_lead_stays_in_its_bounds(lead_s: float, off_g: float, flow_gps: float) -> None:
    assert LEAST_S <= learnt(lead_s, off_g, flow_gps) <= MOST_S
