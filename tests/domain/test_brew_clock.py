"""Brew time as it is read."""

import pytest

from pourcoach.domain.brew_clock import clock


@pytest.mark.parametrize(
    ("span_s", "said"),
    [
        (0.0, "0:00"),
        (34.94, "0:34"),
        (34.96, "0:35"),
        (35.9, "0:35"),
        (196.7, "3:16"),
        (-0.4, "0:00"),
        (-3.2, "-0:03"),
    ],
)
def test_the_clock_shows_whole_seconds_passed(span_s: float, said: str) -> None:
    assert clock(span_s) == said
