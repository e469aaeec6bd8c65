"""All tiles in one widget: what one of them changes is all that is sent to the terminal."""

from collections.abc import Sequence

from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette
from pourcoach.tui.wall.draw_tile import draw_tile
from pourcoach.tui.wall.grid import GAP, grid_for
from pourcoach.tui.wall.tile_view import TileView
from pourcoach.tui.widgets.painted import Painted


class WallGrid(Painted):
    """The page of tiles that holds the selected one."""

    def __init__(self, glyphs: Glyphs, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(glyphs, id=id)
        self._views: Sequence[TileView] = ()
        self._selected: int | None = None
        self._whole = False

    @property
    def columns(self) -> int:
        """Tiles beside each other."""
        return grid_for(len(self._views), *self.size).columns

    @property
    def page(self) -> tuple[int, int]:
        """The page that is shown, from 1, and how many there are."""
        places = grid_for(len(self._views), *self.size).places
        return (self._selected or 0) // places + 1, max(1, -(-len(self._views) // places))

    def show(self, views: Sequence[TileView], selected: int | None, *, whole: bool) -> None:
        """Show these from now on; ``whole``: the selected one alone."""
        self._views, self._selected, self._whole = views, selected, whole
        self.repaint()

    def paint(self, width: int, height: int, palette: Palette) -> Cells:
        cells = Cells(width, height, palette.text.style())
        if self._whole and self._selected is not None:
            view = self._views[self._selected]
            cells.paste(0, 0, draw_tile(view, width, height, self.glyphs, palette))
            return cells
        grid = grid_for(len(self._views), width, height)
        first = (self._selected or 0) // grid.places * grid.places
        for place, view in enumerate(self._views[first : first + grid.places]):
            row, column = divmod(place, grid.columns)
            tile = draw_tile(
                view,
                grid.width,
                grid.height,
                self.glyphs,
                palette,
                selected=first + place == self._selected,
            )
            cells.paste(column * (grid.width + GAP), row * (grid.height + GAP), tile)
        return cells
