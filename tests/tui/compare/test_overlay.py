"""The axis under curves that are laid over each other."""

import pytest

from pourcoach.tui.compare.overlay import draw_overlay
from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.renderables.plot import GUTTER


@pytest.mark.parametrize("width", range(50, 60))
def test_no_time_stands_outside_of_the_axis_or_is_cut(width: int) -> None:
    """Both curves begin later than the clock, as those of a stage that was poured late do."""
    curves = [[(12.0, 0.0), (40.0, 80.0)], [(14.0, 0.0), (52.0, 90.0)]]
    cells = draw_overlay(curves, "AB", 1, width, 12, FULL, DARK)
    axis = cells.text().splitlines()[-1]
    assert axis[:GUTTER].strip() == FULL.corner
    times = axis[GUTTER:].replace(FULL.floor, " ").split()
    assert times == ["0:20", "0:30", "0:40", "0:50"][: len(times)]
    assert len(times) >= 3
