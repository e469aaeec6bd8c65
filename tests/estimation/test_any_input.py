"""Whatever comes in, what comes out is finite, in order, and the same each time."""

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from pourcoach.domain.inputs import Begin, Finish, Link, Mark, Note, Reading, Silence, Tare, Undo
from pourcoach.estimation.estimator import Estimator

steps_s = st.sampled_from([0.0, 0.0004, 0.0125, 0.1, 0.1, 0.1, 0.25, 1.5, 40.0])
weights = st.one_of(
    st.sampled_from([0.0, 0.1, 5.0, 5.5, 250.0, -250.0, math.nan, math.inf, 1e6]),
    st.floats(-50.0, 400.0),
)


@st.composite
def inputs(draw):
    """Readings of any sort among every other input, in order of time."""
    t_s, items, level = 0.0, [], 0.0
    sent = draw(st.sampled_from(["nothing", "device", "number", "both"]))
    for index in range(draw(st.integers(1, 120))):
        t_s += draw(steps_s)
        kind = draw(st.integers(0, 19))
        if kind < 12:
            level += draw(st.sampled_from([0.0, 0.0, 0.05, 0.6, 0.6]))
            grams = level + draw(st.sampled_from([0.0, 0.03, -0.03, 0.1]))
        elif kind < 15:
            grams = draw(weights)
        else:
            others = (Tare, Begin, Finish, Mark, Undo, Silence)
            other = draw(st.sampled_from([*others, "tare by scale", "link", "note"]))
            if other == "tare by scale":
                items.append(Tare(t_s, by_scale=True))
            elif other == "link":
                items.append(Link(t_s, up=draw(st.booleans())))
            elif other == "note":
                items.append(Note(t_s, "a remark"))
            else:
                items.append(other(t_s))
            continue
        device_s = t_s + draw(st.sampled_from([7.0, 7.0, 7.0, 3.0]))
        items.append(
            Reading(
                t_s,
                grams,
                device_s if sent in ("device", "both") else None,
                (index * draw(st.sampled_from([1, 1, 1, 2]))) % 65536
                if sent in ("number", "both")
                else None,
            )
        )
    return items


@settings(max_examples=60)
@given(inputs())
def test_estimates_are_finite_in_order_and_repeatable(items):
    estimator, again = Estimator(), Estimator()
    settled_s = -math.inf
    last_s = items[-1].t_s
    for estimate in (*map(estimator.feed, items), estimator.close(last_s)):
        numbers = (
            estimate.t_s,
            estimate.mass_g,
            estimate.mass_error_g,
            estimate.flow_gps,
            estimate.flow_error_gps,
            estimate.booked_g,
        )
        assert all(math.isfinite(number) for number in numbers)
        assert estimate.flow_gps >= 0.0
        assert 0.0 <= estimate.pour_probability <= 1.0
        if estimate.settled is not None:
            assert estimate.settled.t_s > settled_s
            settled_s = estimate.settled.t_s
        ends = [p.end_s for p in estimate.pours]
        assert all(end is not None for end in ends[:-1])
        starts = [p.start_s for p in estimate.pours]
        assert starts == sorted(starts)
        assert all(p.end_s is None or p.end_s > p.start_s for p in estimate.pours)
    for item in items:
        again.feed(item)
    assert again.close(last_s) == estimate
