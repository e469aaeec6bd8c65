"""Figures as they are said."""

import pytest

from pourcoach.domain.brew_clock import clock
from pourcoach.wording.figures import countdown, how_many, total


@pytest.mark.parametrize(("left_s", "said"), [(26.2, 27), (0.1, 1), (0.0, 0), (-1.0, 0)])
def test_a_countdown_never_says_0_too_soon(left_s: float, said: int) -> None:
    assert countdown(left_s) == said


def test_the_clock_and_the_countdown_add_up() -> None:
    """At 0:34.5 of a wait to 0:35 the clock says 0:34, and a second is left."""
    assert (clock(34.5), countdown(35.0 - 34.5)) == ("0:34", 1)


@pytest.mark.parametrize(("count", "said"), [(0, "0 brews"), (1, "1 brew"), (2, "2 brews")])
def test_only_one_is_singular(count: int, said: str) -> None:
    assert how_many(count, "brew") == said


def test_a_total_has_no_negative_zero() -> None:
    assert total(-0.04) == "0.0 g"
