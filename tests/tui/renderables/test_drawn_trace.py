"""The kept trace."""

from pourcoach.domain.pour import Phase
from pourcoach.tui.renderables.drawn_trace import READY_POINTS, DrawnTrace
from tests.tui.made_frames import make_frame


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


def test_water_that_came_before_it_was_counted_is_drawn_as_water() -> None:
    """On an untared scale, 612 g of it stood there before."""
    trace = DrawnTrace()
    for t_s, mass_g in [(1.0, 612.0), (2.0, 616.0), (3.0, 620.0)]:
        trace.follow(make_frame(t_s, mass_g=mass_g))
    counted = make_frame(4.0, mass_g=624.0, phase=Phase.POURING)
    trace.follow(counted._replace(pour=counted.pour._replace(water_g=12.0)))
    assert [mass_g for _, mass_g in trace.since(0.0)] == [0.0, 4.0, 8.0, 12.0]


def test_a_brew_begun_anew_leaves_the_water_of_the_one_before_as_it_was() -> None:
    trace = DrawnTrace()
    trace.follow(make_frame(1.0, mass_g=10.0))
    for t_s, phase in [(2.0, Phase.POURING), (3.0, Phase.READY), (4.0, Phase.POURING)]:
        frame = make_frame(t_s, mass_g=12.0, phase=phase)
        trace.follow(frame._replace(pour=frame.pour._replace(water_g=2.0)))
    assert [mass_g for _, mass_g in trace.since(0.0)] == [0.0, 2.0, 2.0, 2.0]


def test_a_scale_left_on_keeps_some_minutes() -> None:
    trace = DrawnTrace()
    for tick in range(2 * READY_POINTS):
        trace.follow(make_frame(tick / 80))
    points = list(trace.since(0.0))
    assert READY_POINTS / 2 <= len(points) <= READY_POINTS
    assert points[-1] == ((2 * READY_POINTS - 1) / 80, 0.0)
