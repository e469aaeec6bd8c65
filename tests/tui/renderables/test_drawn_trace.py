"""The kept trace."""

from pourcoach.tui.renderables.drawn_trace import DrawnTrace


def test_points_are_counted_from_the_first_water() -> None:
    trace = DrawnTrace()
    for t_s, mass_g in [(1.0, 0.0), (2.0, 0.5), (3.0, 5.0)]:
        assert trace.add(t_s, mass_g) is False
    assert list(trace.since(2.0)) == [(0.0, 0.5), (1.0, 5.0)]


def test_going_back_in_time_begins_anew() -> None:
    trace = DrawnTrace()
    trace.add(5.0, 1.0)
    assert trace.add(5.0, 2.0) is False
    assert trace.add(0.0, 3.0) is True
    assert list(trace.since(0.0)) == [(0.0, 3.0)]
