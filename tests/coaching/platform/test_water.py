"""The weight from which water is counted."""

import pytest

from pourcoach.coaching.platform.water import DryLine
from pourcoach.domain.estimate import EventKind, PlatformEvent

PLACED = PlatformEvent(EventKind.PLACED, 2.4, 3.0, 30.0, 0.5, 0.9)


def test_before_the_first_water_it_is_dry_where_nothing_is_shown() -> None:
    line = DryLine()
    line.feed(1.0, 300.0, begun=False, kept=False)
    assert line.dry_g == 300.0


def test_what_is_set_down_in_mid_brew_moves_nothing() -> None:
    line = DryLine()
    line.feed(1.0, -30.0, begun=True, kept=False)
    assert line.dry_g == 0.0


def test_a_first_water_that_is_taken_back_leaves_the_line_where_nothing_is_shown() -> None:
    line = DryLine()
    line.feed(1.0, -30.0, begun=False, kept=False)
    line.feed(1.0, 0.0, begun=True, kept=False)
    line.feed(1.0, 0.0, begun=False, kept=False)
    assert line.dry_g == 0.0


@pytest.mark.parametrize("begun", [False, True])
def test_a_line_that_the_brewer_gave_stays(begun: bool) -> None:
    line = DryLine()
    line.put(12.0)
    line.feed(1.0, -30.0, begun=begun, kept=True)
    line.feed(1.0, -40.0, begun=False, kept=True)
    assert line.dry_g == 12.0


@pytest.mark.parametrize(
    ("start_g", "expected"), [(-25.0, 75.0), (-0.9, 100.0), (0.0, 100.0), (-51.0, 100.0)]
)
def test_the_first_water_counts_from_where_it_began(start_g: float, expected: float) -> None:
    line = DryLine()
    line.put(100.0)
    assert line.begin(5.0, start_g, []) == expected - 100.0
    assert line.dry_g == expected


def test_a_tare_by_key_moves_what_is_shown_alone() -> None:
    line = DryLine()
    line.put(50.0)
    line.tared(50.0)
    line.feed(1.0, 50.0, begun=False, kept=False)
    assert line.dry_g == 50.0


def test_what_was_set_down_after_a_first_water_that_is_known_only_later_is_no_part_of_it() -> None:
    line = DryLine()
    line.feed(1.0, 300.0, begun=False, kept=False)
    line.feed(3.0, 270.0, begun=False, kept=False)
    added_g = line.begin(2.0, 30.0, (PLACED,))
    assert (added_g, line.dry_g) == (30.0, 300.0)


def test_what_was_set_down_before_the_first_water_is_part_of_the_dry_weight() -> None:
    line = DryLine()
    line.feed(1.0, 300.0, begun=False, kept=False)
    line.feed(3.0, 270.0, begun=False, kept=False)
    added_g = line.begin(2.6, 0.0, (PLACED,))
    assert (added_g, line.dry_g) == (0.0, 270.0)


@pytest.mark.parametrize(("from_g", "dry_g"), [(-0.9, 270.0), (-9.4, 260.6), (0.9, 270.0)])
def test_water_begins_at_none_though_a_hand_lay_there_during_the_tare(
    from_g: float, dry_g: float
) -> None:
    line = DryLine()
    line.put(270.0)
    added_g = line.begin(2.6, from_g, ())
    assert (added_g, line.dry_g) == pytest.approx((dry_g - 270.0, dry_g))
