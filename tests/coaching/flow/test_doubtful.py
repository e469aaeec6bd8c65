"""What may have been a stall or a surge: in values that a touch makes unclear, or unseen."""

import pytest

from pourcoach.coaching.flow.hindsight import FlowVerdict, judge_flow
from pourcoach.coaching.flow.trace import Sample, Trace
from pourcoach.domain.estimate import EventKind, PlatformEvent
from pourcoach.domain.limits import FlagLimits
from pourcoach.domain.pour import Pour, StagePour


def verdict(
    *runs: tuple[float, float],
    unclear_s: tuple[float, float] | None = None,
    unseen: tuple[float, float, float] | None = None,
) -> FlowVerdict:
    """Of one pour that flows so for so long, and so on, twenty values a second: part of them
    unclear, part of its water unseen (from, to, grams)."""
    events = (PlatformEvent(EventKind.UNSEEN_WATER, *unseen),) if unseen else ()
    trace = Trace(_events=events, _unclear=[unclear_s] if unclear_s else [])
    t_s = 0.0
    for flow_gps, lasts_s in runs:
        for _ in range(round(lasts_s * 20.0)):
            trace.append(Sample(round(t_s, 3), flow_gps, 0.1))
            t_s += 0.05
    pour = Pour(0.0, 0.0, t_s, 70.0, 5.4, 0.35, 0.01, refined=True)
    return judge_flow(StagePour("pour 1", (pour,)), trace, FlagLimits(), 5.0)


@pytest.mark.parametrize(
    ("flow_gps", "lasts_s", "found"),
    [(12.0, 1.0, 1), (12.0, 0.5, 0), (5.0, 1.0, 0), (0.5, 1.3, 1), (0.5, 0.7, 0)],
)
def test_an_unclear_flow_that_lasts_as_a_fault_does_may_be_one(
    flow_gps: float, lasts_s: float, found: int
) -> None:
    one = verdict((5.0, 6.0), (flow_gps, lasts_s), (5.0, 6.0), unclear_s=(5.9, 7.4))
    assert (len(one.hidden), one.surges, one.stalls) == (found, (), ())


def test_what_may_be_a_surge_for_all_unclear_values_show_is_left_out_of_evenness() -> None:
    one = verdict((5.0, 6.0), (12.0, 1.0), (5.0, 6.0), unclear_s=(5.9, 6.9))
    assert one.cv == pytest.approx(0.02, abs=0.01)


def test_a_surge_that_was_seen_is_not_doubted_for_a_touch_at_its_end() -> None:
    one = verdict((5.0, 6.0), (12.0, 1.5), (5.0, 6.0), unclear_s=(7.3, 7.8))
    assert (len(one.surges), one.hidden) == (1, ())


@pytest.mark.parametrize(
    ("lasts_s", "rose_g", "found"),
    [(0.4, 8.0, 1), (0.4, 4.0, 0), (3.0, 18.0, 0), (1.5, 0.5, 1), (0.6, 0.0, 0)],
    ids=["a surge brings it", "too little", "usual for so long", "a stall", "too short a stall"],
)
def test_water_that_came_unseen_may_be_that_of_a_fault(
    lasts_s: float, rose_g: float, found: int
) -> None:
    """At 8.5 g/s in place of 5, for 0.7 s, 2.45 g more come in; at 1.25, for 1 s, 3.75 g less."""
    one = verdict((5.0, 12.0), unseen=(6.0, 6.0 + lasts_s, rose_g))
    assert len(one.hidden) == found
