"""The off-target bar, as text."""

import pytest

from pourcoach.tui.renderables.glyphs import ASCII, FULL, Glyphs
from pourcoach.tui.renderables.off_bar import draw_off_bar
from pourcoach.tui.renderables.palette import DARK


@pytest.mark.parametrize(
    ("off_g", "band_g", "glyphs", "row"),
    [
        (None, None, FULL, "  ────────────────────╪────────────────────"),
        (0.0, 5.0, FULL, "  ───────────────═════╪═════───────────────"),
        (-9.0, 5.0, FULL, "  ───────────█████████╪═════───────────────"),
        (9.0, 5.0, FULL, "  ───────────────═════╪█████████───────────"),
        (2.5, 5.0, FULL, "  ───────────────═════╪██▌══───────────────"),
        (-2.5, 5.0, FULL, "  ───────────────══▐██╪═════───────────────"),
        (20.0, None, FULL, "  ────────────────────╪████████████████████"),
        (99.0, None, FULL, "  ────────────────────╪███████████████████►"),
        (-99.0, 60.0, FULL, "  ◄███████████████████╪════════════════════"),
        (-2.5, 5.0, ASCII, "  ---------------===##|=====---------------"),
        (-30.0, 5.0, ASCII, "  <###################|=====---------------"),
    ],
)
def test_bar(off_g: float | None, band_g: float | None, glyphs: Glyphs, row: str) -> None:
    """45 columns: one gram a cell."""
    text = draw_off_bar(off_g, band_g, 45, 2, glyphs, DARK).text()
    assert text.split("\n") == [row, "  20 under        on target         20 over"]


@pytest.mark.parametrize("width", range(12))
def test_too_narrow_a_bar_is_no_error(width: int) -> None:
    assert draw_off_bar(-3.0, 5.0, width, 1, FULL, DARK).width == width
