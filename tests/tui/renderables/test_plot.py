"""The chart's canvas: what it looks like, and that its changes are all that changes."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from textual.strip import Strip

from pourcoach.domain.plan import Plan, Stage
from pourcoach.tui.renderables.axes import Extent
from pourcoach.tui.renderables.glyphs import FULL, GLYPH_SETS, Glyphs
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.renderables.plot import LEAST_HEIGHT, LEAST_WIDTH, Plot

PLAN = Plan(
    dose_g=10.0,
    ratio=10.0,
    water_g=100.0,
    bloom_s=40.0,
    finish_s=80.0,
    stages=(Stage("bloom", 0.0, 40.0, 4.0), Stage("pour 1", 40.0, 100.0, 4.0)),
)
EXTENT = Extent(80.0, 120.0)


def plot(glyphs: Glyphs, plan: Plan | None = PLAN, width: int = 45, height: int = 13) -> Plot:
    return Plot(width, height, EXTENT, plan, glyphs, DARK)


def pour(canvas: Plot, until_s: int) -> None:
    """As planned, 6 g below."""
    for brew_s in range(until_s + 1):
        canvas.add(brew_s, max(0.0, PLAN.target_g(brew_s) - 6.0))


@pytest.mark.parametrize("glyphs", GLYPH_SETS.values(), ids=GLYPH_SETS)
def test_target_band_and_poured(glyphs: Glyphs, golden: Callable[[str, str], None]) -> None:
    canvas = plot(glyphs)
    pour(canvas, 45)
    golden(f"plot-{glyphs.name}", canvas.text())


def test_without_a_plan_there_is_only_what_was_poured(golden: Callable[[str, str], None]) -> None:
    canvas = plot(FULL, None)
    pour(canvas, 20)
    golden("plot-without-plan", canvas.text())


points = st.lists(st.tuples(st.floats(0.0, 9.0), st.floats(-50.0, 400.0)), min_size=1, max_size=40)


@settings(max_examples=60, deadline=None)
@given(steps=points, cuts=st.sets(st.integers(0, 40)), glyphs=st.sampled_from([*GLYPH_SETS]))
def test_a_screen_that_takes_only_the_changes_shows_the_whole(
    steps: list[tuple[float, float]], cuts: set[int], glyphs: str
) -> None:
    """However many points lie between two draws, and wherever they are."""
    drawn, whole = plot(GLYPH_SETS[glyphs]), plot(GLYPH_SETS[glyphs])
    shown = [drawn.strip(row) for row in range(drawn.height)]
    brew_s = 0.0
    for index, (step_s, mass_g) in enumerate(steps):
        brew_s += step_s
        drawn.add(brew_s, mass_g)
        whole.add(brew_s, mass_g)
        if index in cuts:
            _update(shown, drawn)
    _update(shown, drawn)
    whole.take_changes()
    for row in range(whole.height):
        assert _spelt(shown[row]) == _spelt(whole.strip(row))


def test_one_more_point_touches_few_cells() -> None:
    canvas = plot(FULL)
    pour(canvas, 44)
    canvas.take_changes()
    canvas.add(45.0, PLAN.target_g(45.0) - 6.0)
    assert sum(span.end - span.start for span in canvas.take_changes()) <= 4


def test_a_point_within_the_same_pixel_changes_nothing() -> None:
    canvas = plot(FULL)
    canvas.add(1.0, 1.0)
    canvas.take_changes()
    canvas.add(1.01, 1.01)
    assert canvas.take_changes() == []


@pytest.mark.parametrize("glyphs", GLYPH_SETS.values(), ids=GLYPH_SETS)
@pytest.mark.parametrize("width", [LEAST_WIDTH, 20, 61])
@pytest.mark.parametrize("height", [LEAST_HEIGHT, 7])
def test_every_row_is_as_wide_as_specified(glyphs: Glyphs, width: int, height: int) -> None:
    canvas = plot(glyphs, width=width, height=height)
    pour(canvas, 200)
    canvas.take_changes()
    assert {canvas.strip(row).cell_length for row in range(height)} == {width}


def _update(shown: list[Strip], canvas: Plot) -> None:
    for row, start, end in canvas.take_changes():
        old, new = shown[row], canvas.strip(row)
        shown[row] = Strip.join([old.crop(0, start), new.crop(start, end), old.crop(end)])


def _spelt(strip: Strip) -> list[tuple[str, object]]:
    return [(character, segment.style) for segment in strip for character in segment.text]


def test_a_stage_shown_large_has_its_own_numbers() -> None:
    part = Plot(45, 13, Extent(20.0, 70.0, 38.0, 35.0), PLAN, FULL, DARK)
    for tenth in range(380, 580):
        part.add(tenth / 10, PLAN.target_g(tenth / 10))
    rows = part.text().split("\n")
    assert rows[-1].split("└")[1].strip("─").split("─")[0] == "0:40"
    numbers = [int(row.split("┤")[0]) for row in rows if "┤" in row]
    assert numbers
    assert all(35 < number < 105 for number in numbers)
