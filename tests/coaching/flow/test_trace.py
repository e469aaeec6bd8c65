"""The settled flow of a brew, and where it shows nothing of the hand."""

import pytest

from pourcoach.coaching.flow.trace import FORGET_EVERY, Sample, Trace
from pourcoach.domain.estimate import Disturbance, Estimate, ScaleTraits, Settled
from pourcoach.domain.inputs import Input, Reading, Silence
from pourcoach.domain.pour import Pour

# Written out: what is imported would hold whatever it is.
REST_KEPT_S = 600.0

REST = Estimate(0.0, 0.0, 0.1, 0.0, 0.1, False, 0.0, None, None, (), ScaleTraits())


def settled_at(trace: Trace, t_s: float, mass_g: float, flow_gps: float) -> Sample:
    settled = Settled(t_s, mass_g, flow_gps, 0.1)
    (sample,) = trace.feed(Reading(t_s + 0.2, 0.0), REST._replace(settled=settled))
    return sample


def fed(trace: Trace, item: Input, disturbance: Disturbance | None = None) -> None:
    settled = Settled(item.t_s - 0.2, 0.0, 5.0, 0.1)
    trace.feed(item, REST._replace(t_s=item.t_s, settled=settled, disturbance=disturbance))


def test_values_are_found_by_time() -> None:
    trace = Trace()
    for tenth in range(50):
        fed(trace, Reading(tenth / 10, 0.0))
    assert [round(value.t_s, 1) for value in trace.between(1.0, 1.3)] == [1.0, 1.1, 1.2, 1.3]


def test_a_touch_is_left_out_from_a_little_before_to_a_little_after() -> None:
    trace = Trace()
    for tenth in range(50):
        touched = Disturbance.KNOCK if tenth == 20 else None
        fed(trace, Reading(tenth / 10, 0.0), touched)
    left = [value.t_s for value in trace.clear(0.0, 4.0)]
    assert left == [one.t_s for one in trace.between(0.0, 4.0) if trace.is_clear(one.t_s)]
    assert not any(1.65 < t_s < 2.15 for t_s in left)
    assert any(1.4 < t_s < 1.6 for t_s in left)


def test_flow_over_a_hole_in_the_readings_is_not_trusted() -> None:
    trace = Trace()
    fed(trace, Reading(1.0, 0.0))
    trace.feed(Silence(1.5), REST)
    fed(trace, Reading(2.0, 0.0))
    fed(trace, Reading(2.1, 0.0))
    assert trace.clear(0.7, 2.1) == []
    assert len(trace.between(0.7, 2.1)) == 3


def test_readings_that_arrive_in_bunches_leave_no_hole() -> None:
    """Six at a time, ten a second: one that was weighed on time says nothing of when it came."""
    trace = Trace()
    for tenth in range(60):
        weighed_s, arrived_s = tenth / 10, (tenth // 6 + 1) * 0.6
        settled = Settled(weighed_s - 0.2, 0.0, 5.0, 0.1)
        trace.feed(Reading(arrived_s, 0.0), REST._replace(t_s=weighed_s, settled=settled))
    assert len(trace.clear(0.0, 5.5)) == 56


@pytest.mark.parametrize(
    ("found_s", "found_gps", "since_s"),
    [
        (1.4, 12.0, 0.85),
        (1.4, 8.2, 0.85),
        (1.4, 7.0, None),
        (1.4, 6.0, None),
        (1.1, 12.0, None),
        (2.2, 12.0, None),
    ],
    ids=["a gush", "over half more", "less", "as fast as before", "found at once", "long ago"],
)
def test_a_rise_found_late_is_put_where_it_began(
    found_s: float, found_gps: float, since_s: float | None
) -> None:
    """Five grams a second were thought to go on, 5 g at 1 s, when it gushed at 0.85 s."""
    trace = Trace()
    for tenth in range(11):
        settled_at(trace, tenth / 10, tenth * 0.5, 5.0)
    found = settled_at(trace, found_s, 4.25 + found_gps * (found_s - 0.85), found_gps)
    assert found.since_s == (None if since_s is None else pytest.approx(since_s))
    flows = [value.flow_gps for value in trace.between(0.0, 1.0)]
    risen = 0 if since_s is None else 2
    assert flows == [5.0] * (11 - risen) + [found_gps] * risen


def test_values_that_come_late_are_among_the_others() -> None:
    trace = Trace()
    settled_at(trace, 1.0, 5.0, 5.0)
    late = tuple(Settled(1.0 + tenth / 10, 5.0 + tenth, 10.0, 0.1) for tenth in range(4))
    estimate = REST._replace(settled=Settled(1.4, 9.0, 10.0, 0.1), late=late)
    taken = trace.feed(Reading(1.6, 0.0), estimate)
    assert [round(one.t_s, 1) for one in taken] == [1.1, 1.2, 1.3, 1.4]
    assert trace.samples[1:] == list(taken)
    assert {one.since_s for one in taken} == {None}


def test_a_rise_found_late_is_measured_where_the_flow_has_followed_it() -> None:
    """It gushed at 12 g/s from 0.85 s on, and the first values after the touch lag behind."""
    trace = Trace()
    for tenth in range(11):
        settled_at(trace, tenth / 10, tenth * 0.5, 5.0)
    lagging = (Settled(1.4, 9.0, 6.0, 0.1), Settled(1.5, 11.5, 9.0, 0.1))
    estimate = REST._replace(settled=Settled(1.6, 13.25, 12.0, 0.1), late=lagging)
    taken = trace.feed(Reading(1.8, 0.0), estimate)
    assert [one.since_s for one in taken] == pytest.approx([0.85] * 3)
    flows = [value.flow_gps for value in trace.between(0.0, 1.6)]
    assert flows == [5.0] * 9 + [12.0] * 2 + [6.0, 9.0, 12.0]


@pytest.mark.parametrize("poured", [(), (Pour(4000.0, 0.0, 4010.0, 40.0),)])
def test_a_rest_that_never_ends_does_not_grow(poured: tuple[Pour, ...]) -> None:
    """A scale left on: what was poured is kept, with the rest around it and that of late."""
    trace, last_s = Trace(), 40_000
    for second in range(last_s + 1):
        pours = poured if second > 4000 else ()
        settled = Settled(float(second), 0.0, 0.0, 0.1)
        trace.feed(Reading(second + 0.2, 0.0), REST._replace(settled=settled, pours=pours))
    kept = [sample.t_s for sample in trace.samples]
    assert len(kept) < 2 * REST_KEPT_S + 2 * FORGET_EVERY
    assert trace.between(last_s - REST_KEPT_S, last_s) == trace.samples[-int(REST_KEPT_S) - 1 :]
    assert kept == sorted(set(kept))
    if poured:
        water = trace.between(3401.0, 4009.0 + REST_KEPT_S)
        assert len(water) == 600 + 9 + REST_KEPT_S


def test_nothing_is_forgotten_while_water_runs() -> None:
    trace = Trace()
    for second in range(3000):
        settled = Settled(float(second), 0.0, 5.0, 0.1)
        estimate = REST._replace(settled=settled, pouring=True, pours=(Pour(0.0, 0.0),))
        trace.feed(Reading(second + 0.2, 0.0), estimate)
    assert len(trace.samples) == 3000
