"""Which size is which."""

import pytest

from pourcoach.tui.sizes import ScreenSize, size_for


@pytest.mark.parametrize(
    ("width", "height", "size"),
    [
        (200, 60, ScreenSize.FULL),
        (100, 30, ScreenSize.FULL),
        (100, 29, ScreenSize.COMPACT),
        (80, 24, ScreenSize.COMPACT),
        (79, 24, ScreenSize.NARROW),
        (60, 20, ScreenSize.NARROW),
        (59, 50, ScreenSize.BARE),
        (200, 19, ScreenSize.BARE),
        (40, 10, ScreenSize.BARE),
        (39, 10, ScreenSize.TINY),
        (10, 3, ScreenSize.TINY),
        (0, 0, ScreenSize.TINY),
    ],
)
def test_size_for(width: int, height: int, size: ScreenSize) -> None:
    assert size_for(width, height) is size
