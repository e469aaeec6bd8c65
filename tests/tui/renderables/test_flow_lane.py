"""The flow below the curve of weight, with the band that says what is even."""

from math import pi, sin

import pytest

from pourcoach.reports.brew.flow_bands import FlowBand
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.flow_lane import FLOW_ROWS, draw_flow_lane
from pourcoach.tui.renderables.glyphs import ASCII, FULL, GLYPH_SETS
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.renderables.plot import GUTTER

WIDTH = 65
EXTENT = Extent(30.0, 150.0)
BAND = FlowBand(1.0, 29.0, 5.0, 1.0)


def pour(wander: float, mean_gps: float = 5.0) -> list[tuple[float, float]]:
    """Up and down every four seconds."""
    times_s = [tick / 10 for tick in range(300)]
    return [(t_s, mean_gps * (1 + wander * sin(2 * pi * t_s / 4))) for t_s in times_s]


def inked_outside_the_band(wander: float) -> int:
    """Cells of the curve whose ground is not the band's."""
    cells = draw_flow_lane(pour(wander), [BAND], EXTENT, WIDTH, FULL, DARK)
    count = 0
    for row in range(FLOW_ROWS):
        column = 0
        for segment in cells.strip(row):
            for character in segment.text:
                within = GUTTER + 4 <= column < WIDTH - 4
                on_band = segment.style.bgcolor == DARK.on_band(DARK.poured).bgcolor
                count += within and character in FULL.quadrants[1:] and not on_band
                column += 1
    return count


def test_a_steady_flow_stays_in_the_band_and_an_uneven_one_leaves_it() -> None:
    assert inked_outside_the_band(0.05) == 0
    assert inked_outside_the_band(0.45) > 30


@pytest.mark.parametrize("glyphs", GLYPH_SETS.values(), ids=lambda glyphs: glyphs.name)
def test_only_the_glyphs_of_the_set_are_used(glyphs: object) -> None:
    text = draw_flow_lane(pour(0.4), [BAND], EXTENT, WIDTH, glyphs, DARK).text()  # type: ignore[arg-type]
    assert len(text.split("\n")) == FLOW_ROWS
    if glyphs is ASCII:
        assert text.isascii()
        assert "*" in text


def test_a_gush_is_drawn_to_its_height_and_a_knock_does_not_press_the_pour_flat() -> None:
    tops = [
        draw_flow_lane([*pour(0.1), (29.9, flow)], [BAND], EXTENT, WIDTH, FULL, DARK).text()[:4]
        for flow in (5.0, 12.0, 300.0)
    ]
    assert [top.strip() for top in tops] == ["8", "12", "20"]


def test_of_a_stage_shown_large_only_its_own_flow_is_drawn() -> None:
    """What was poured before and after does not reach in."""
    zoomed = Extent(10.0, 50.0, 10.0, 50.0)
    inside = [point for point in pour(0.3) if 10.0 <= point[0] <= 20.0]
    whole = draw_flow_lane(pour(0.3), [BAND], zoomed, WIDTH, FULL, DARK).text()
    assert whole == draw_flow_lane(inside, [BAND], zoomed, WIDTH, FULL, DARK).text()


def test_no_flow_and_no_room_is_survived() -> None:
    for width in (0, 3, GUTTER, GUTTER + 1):
        assert draw_flow_lane([], [], EXTENT, width, FULL, DARK).width == width
