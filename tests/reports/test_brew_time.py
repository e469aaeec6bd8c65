import pytest

from pourcoach.reports.brew_time import clock


@pytest.mark.parametrize(
    ("span_s", "said"),
    [(0.0, "0:00"), (59.4, "0:59"), (59.6, "1:00"), (187.2, "3:07"), (-0.4, "0:00"), (-6, "-0:06")],
)
def test_brew_time_is_minutes_and_the_nearest_second(span_s: float, said: str) -> None:
    assert clock(span_s) == said
