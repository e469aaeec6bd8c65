"""How many tiles stand beside each other, and how large."""

from typing import NamedTuple

GAP = 1
"""Columns and rows between tiles."""
# A tile of blocks is a word of 23 columns ("STEADY", a stroke wide) with a margin on both sides,
# and nine rows: name, five of the word, weight, bar, what comes next.
BLOCK_WIDTH, BLOCK_HEIGHT = 25, 9
# Of text alone: name, word and weight, what was noted.
TEXT_WIDTH, TEXT_HEIGHT = 24, 3


class Grid(NamedTuple):
    """A page of the wall."""

    columns: int
    rows: int
    width: int
    """Of one tile."""
    height: int

    @property
    def places(self) -> int:
        """Tiles on a page."""
        return self.columns * self.rows


def grid_for(count: int, width: int, height: int) -> Grid:
    """The grid in which ``count`` tiles are largest: in blocks where all fit so, else as text.
    Where not all fit as text either, as many as do: the others are on further pages.
    """
    count = max(1, count)
    for least_width, least_height in ((BLOCK_WIDTH, BLOCK_HEIGHT), (TEXT_WIDTH, TEXT_HEIGHT)):
        fits = [
            grid
            for columns in range(1, count + 1)
            if (grid := _grid(columns, -(-count // columns), width, height)).width >= least_width
            and grid.height >= least_height
        ]
        if fits:
            # Two columns look about as wide as a row is high.
            return max(fits, key=lambda grid: min(grid.width, 2 * grid.height))
    columns = max(1, (width + GAP) // (TEXT_WIDTH + GAP))
    rows = max(1, height // (TEXT_HEIGHT + GAP))
    return _grid(columns, rows, width, height)


def _grid(columns: int, rows: int, width: int, height: int) -> Grid:
    return Grid(
        columns,
        rows,
        (width - GAP * (columns - 1)) // columns,
        (height - GAP * (rows - 1)) // rows,
    )
