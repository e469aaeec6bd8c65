from random import Random

import pytest

from pourcoach.simulation.faults import Stall, Surge
from pourcoach.simulation.hand.profile import HandProfile
from pourcoach.simulation.hand.stream import EDGE_S, THINNEST, Stream
from pourcoach.simulation.ticks import TICK_S

EXACT = HandProfile(ramp_up_s=(0.4, 0.4), ramp_down_s=(0.3, 0.3), tremor_cv=0, circle_cv=0)


def flows(
    *faults: Stall | Surge, cv: float = 0.0, seconds: float = 12.0, close_s: float = 10.0
) -> list[float]:
    stream = Stream(EXACT, 5.0, cv, list(faults), 1.0, 40.0, Random(1))
    flowing = []
    for tick in range(round(1 / TICK_S), round(seconds / TICK_S)):
        t_s = tick * TICK_S
        if t_s >= close_s:
            stream.close(t_s)
        flowing.append(0.0 if stream.closed(t_s) else stream.step(t_s, 0.0))
    return flowing


def at(flowing: list[float], t_s: float) -> float:
    return flowing[round((t_s - 1) / TICK_S)]


def test_it_opens_holds_and_closes_in_the_times_drawn() -> None:
    flowing = flows()
    assert 0 < flowing[0] < 0.01
    assert at(flowing, 1.2) == pytest.approx(2.5, abs=0.15)
    assert at(flowing, 1.41) == at(flowing, 9.9) == pytest.approx(5.0)
    assert at(flowing, 10.15) == pytest.approx(2.5, abs=0.15)
    assert at(flowing, 10.31) == 0
    assert flowing == [max(flow, 0.0) for flow in flowing]


@pytest.mark.parametrize(
    ("fault", "level"), [(Stall(0, lasts_s=2.0, share=0.1), 0.5), (Surge(0, 2.0, 2.1), 10.5)]
)
def test_an_interruption_comes_at_its_share_of_the_water_and_lasts(
    fault: Stall | Surge, level: float
) -> None:
    flowing = flows(fault)
    begins_s = 1 + 0.2 + fault.after_share * 40 / 5  # half of the ramp's water is missing
    assert at(flowing, begins_s - 0.01) == pytest.approx(5.0)
    for after_s in (EDGE_S + 0.02, EDGE_S + 1.98):
        assert at(flowing, begins_s + after_s) == pytest.approx(level, rel=0.01)
    assert at(flowing, begins_s + 2 * EDGE_S + 2.02) == pytest.approx(5.0)


def test_two_interruptions_come_one_after_the_other() -> None:
    flowing = flows(Surge(0, 0.8, 2.0, 0.6), Stall(0, 1.0, 0.0, 0.2), seconds=14, close_s=13)
    assert min(flowing[200:900]) == 0
    assert max(flowing) == pytest.approx(10.0)
    assert flowing.index(max(flowing)) > flowing.index(0.0)


def test_however_it_wanders_it_never_breaks_off_or_runs_backwards() -> None:
    flowing = flows(cv=0.8)
    held = flowing[round(0.4 / TICK_S) : round(9 / TICK_S)]
    assert min(held) == pytest.approx(THINNEST * 5.0)
