"""Rows are drawn once, and again only where what they show has changed."""

from dataclasses import replace

import pytest
from textual.app import App, ComposeResult
from textual.geometry import Region

from pourcoach.domain.advice import Word
from pourcoach.domain.pour import Phase
from pourcoach.tui.brew.brew_view import brew_view
from pourcoach.tui.brew.panels import WordPanel
from pourcoach.tui.renderables.cells import Cells, Span
from pourcoach.tui.renderables.glyphs import FULL
from pourcoach.tui.renderables.palette import DARK, LIGHT, Palette
from pourcoach.tui.themes import use_palette, variables
from pourcoach.tui.widgets.drawn import regions_of
from pourcoach.tui.widgets.text_row import TextRow
from tests.tui.made_frames import make_frame

PANEL = brew_view(make_frame(10.0, Word.POUR, 30.0, phase=Phase.POURING), 10.0)


@pytest.fixture
def strips_made(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The rows that strips were made of since."""
    made: list[int] = []
    strip = Cells.strip
    monkeypatch.setattr(Cells, "strip", lambda cells, row: made.append(row) or strip(cells, row))
    return made


class RowApp(App[None]):
    """Two rows of text above a panel."""

    def __init__(self, palette: Palette = DARK) -> None:
        super().__init__()
        self.row = TextRow(FULL)
        self.row.styles.height = 2
        self.panel = WordPanel(FULL, PANEL)
        self.panel.styles.height = 10
        self._palette = palette

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def compose(self) -> ComposeResult:
        yield self.row
        yield self.panel

    def on_mount(self) -> None:
        use_palette(self, self._palette)


async def test_another_weight_makes_new_strips_of_its_own_rows_alone(
    strips_made: list[int],
) -> None:
    """What else is visible is sent from what was made before."""
    app = RowApp()
    async with app.run_test(size=(100, 14)) as pilot:
        app.row.show("NEXT", "one two")
        app.panel.show(PANEL, bar=True)
        await pilot.pause()
        strips_made.clear()
        app.panel.show(replace(PANEL, figure="30.4"), bar=True)
        await pilot.pause()
        # The second row of a 4 is that of a 0.
        assert strips_made == [1, 3, 4, 5]


async def test_what_was_sent_is_sent_again_until_it_changes() -> None:
    app = RowApp()
    async with app.run_test(size=(40, 14)) as pilot:
        app.row.show("NEXT", "one two")
        await pilot.pause()
        whole = Region(0, 0, 40, 2)
        sent = list(app.row.render_lines(whole))
        assert [id(strip) for strip in app.row.render_lines(whole)] == [*map(id, sent)]
        app.row.show("NEXT", "one three")
        await pilot.pause()
        newer = app.row.render_lines(whole)
        assert newer[0].text.split() == ["NEXT", "one", "three"]
        assert newer[1] is sent[1]
        assert app.row.render_lines(Region(2, 0, 4, 1))[0].text == "NEXT"
        assert app.row.render_line(0).text == newer[0].text


async def test_other_colours_are_drawn_anew() -> None:
    """With the old ones nothing may be left."""
    app = RowApp()
    async with app.run_test(size=(40, 14)) as pilot:
        app.row.show("NEXT", "one")
        await pilot.pause()
        app.theme = LIGHT.name
        await pilot.pause()
        grounds = {
            segment.style.bgcolor.name
            for strip in app.row.render_lines(Region(0, 0, 40, 2))
            for segment in strip
            if segment.style is not None and segment.style.bgcolor is not None
        }
        assert grounds == {LIGHT.text.ground}


async def test_another_size_is_drawn_anew() -> None:
    app = RowApp()
    async with app.run_test(size=(40, 14)) as pilot:
        app.row.show("NEXT", "one two", "right")
        await pilot.pause()
        await pilot.resize_terminal(30, 14)
        await pilot.pause()
        strips = app.row.render_lines(Region(0, 0, 30, 2))
        assert [strip.cell_length for strip in strips] == [30, 30]
        assert strips[0].text.endswith("right  ")


@pytest.mark.parametrize(
    ("spans", "regions"),
    [
        ([Span(2, 3, 5)], [Region(3, 2, 2, 1)]),
        ([Span(2, 3, 5), Span(3, 1, 4)], [Region(1, 2, 4, 2)]),
        ([Span(0, 3, 5), Span(2, 1, 4)], [Region(3, 0, 2, 1), Region(1, 2, 3, 1)]),
        (
            [Span(0, 0, 1), Span(1, 0, 1), Span(4, 7, 9), Span(5, 8, 10)],
            [Region(0, 0, 1, 2), Region(7, 4, 3, 2)],
        ),
    ],
)
def test_rows_that_follow_each_other_make_one_region(
    spans: list[Span], regions: list[Region]
) -> None:
    assert regions_of(spans) == regions
