"""A scale that reads at rest what it read before something happened."""

import pytest

from pourcoach.estimation.platform.left_nothing import LeftNothing


def rest(
    kept: LeftNothing,
    from_s: float,
    reading_g: float,
    shift_g: float = 0.0,
    tares_g: float = 0.0,
    lasts_s: float = 1.0,
) -> None:
    """The scale reads this for a while."""
    for tenth in range(int(lasts_s * 10) + 1):
        kept.rested(from_s + tenth / 10, reading_g + shift_g, shift_g, tares_g)


@pytest.mark.parametrize(
    ("reading_g", "shift_g", "back_s", "found"),
    [
        (50.0, -14.0, 20.0, [(11.0, 20.0)]),
        (50.3, -14.0, 20.0, [(11.0, 20.0)]),
        (50.5, -14.0, 20.0, []),  # Half a gram is more than the noise of a level.
        (49.3, -14.0, 20.0, [(11.0, 20.0)]),
        (49.0, -14.0, 20.0, []),  # No bed loses a gram in nine seconds.
        (50.0, 0.3, 20.0, []),  # Nothing else was made of it.
        (50.0, -14.0, 40.3, [(11.0, 40.3)]),
        (50.0, -14.0, 40.7, []),  # No hand presses for so long.
    ],
)
def test_what_reads_the_same_soon_after_had_left_nothing(
    reading_g: float, shift_g: float, back_s: float, found: list[tuple[float, float]]
) -> None:
    kept = LeftNothing()
    rest(kept, 10.0, 50.0)
    kept.disturbed()
    rest(kept, back_s, reading_g, shift_g, lasts_s=0.6)
    assert kept.found == found


def test_what_seems_to_be_water_is_something_that_happened() -> None:
    kept = LeftNothing()
    rest(kept, 10.0, 50.0)
    rest(kept, 14.0, 66.0, lasts_s=8.0)
    rest(kept, 23.0, 50.0, shift_g=16.0)
    assert kept.found == [(11.0, 23.0)]


def test_a_scale_that_was_tared_reads_the_same_by_chance() -> None:
    kept = LeftNothing()
    rest(kept, 10.0, 0.0)
    rest(kept, 14.0, 18.0)
    rest(kept, 18.0, 0.0, shift_g=18.0, tares_g=18.0)
    assert kept.found == []


def test_a_weight_that_passes_is_no_rest() -> None:
    kept = LeftNothing()
    rest(kept, 10.0, 50.0)
    kept.disturbed()
    rest(kept, 15.0, 50.0, shift_g=-9.0, lasts_s=0.3)
    rest(kept, 15.4, 70.0, shift_g=-9.0)
    assert kept.found == []


def test_hands_one_over_the_other_are_one_stretch() -> None:
    kept = LeftNothing()
    rest(kept, 10.0, 50.0)
    rest(kept, 13.0, 62.0)
    kept.disturbed()
    rest(kept, 16.0, 62.0, shift_g=-5.0)
    rest(kept, 20.0, 50.0, shift_g=-5.0)
    assert kept.found == [(11.0, 20.0)]


def test_water_that_comes_to_what_a_hand_had_pressed_is_poured_by_chance() -> None:
    kept = LeftNothing()
    rest(kept, 10.0, 0.0)
    rest(kept, 13.0, 34.0, shift_g=-34.0)
    kept.disturbed()
    kept.let_go(11.5)
    rest(kept, 20.0, 34.0)
    assert kept.found == []
