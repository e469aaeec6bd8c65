"""The off-target bar: under to the left, over to the right.

A chart of a whole brew has some grams a pixel and cannot show what matters while pouring.
"""

from functools import lru_cache

from pourcoach.domain.units import Grams
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.glyphs import Glyphs
from pourcoach.tui.renderables.palette import Palette

# Each side; about 0.4 g a cell on 100 columns. Four times the usual landing limit of 5 g.
REACH_G: Grams = 20.0
PAD = 2


def draw_off_bar(
    off_g: Grams | None,
    band_g: Grams | None,
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """The bar in the first row, its labels in the second. None leaves the bar empty.

    Bars that look the same are the same Cells: ``copy`` them to write to them.
    """
    reach = (width - 2 * PAD - 1) // 2
    halves = None if off_g is None else round(off_g / REACH_G * reach * 2)
    inside = None if band_g is None else min(reach, round(band_g / REACH_G * reach))
    return _bar(halves, inside, width, height, glyphs, palette)


@lru_cache(maxsize=64)
def _bar(
    halves: int | None,
    inside: int | None,
    width: int,
    height: int,
    glyphs: Glyphs,
    palette: Palette,
) -> Cells:
    """Filled by so many half cells, to the left where it is less than 0; the band reaches
    ``inside`` cells to either side.
    """
    dim = palette.on_ground(palette.dim)
    cells = Cells(width, height, dim)
    reach = (width - 2 * PAD - 1) // 2
    if reach < 1:
        return cells
    centre = PAD + reach
    cells.put(centre - reach, 0, glyphs.track * (2 * reach + 1), dim)
    if inside is not None:
        cells.put(
            centre - inside, 0, glyphs.band * (2 * inside + 1), palette.on_ground(palette.curve)
        )
    if halves is not None:
        _fill(cells, halves, centre, reach, glyphs, palette)
    cells.put(centre, 0, glyphs.centre, palette.on_ground(palette.text.ink, bold=True))
    under, on, over = f"{REACH_G:.0f} under", "on target", f"{REACH_G:.0f} over"
    cells.put(centre - reach, 1, under, dim)
    cells.put(centre - len(on) // 2, 1, on, dim)
    cells.put(centre + reach + 1 - len(over), 1, over, dim)
    return cells


def _fill(
    cells: Cells, halves: int, centre: int, reach: int, glyphs: Glyphs, palette: Palette
) -> None:
    style = palette.on_ground(palette.poured, bold=True)
    over = halves > 0
    halves = abs(halves)
    whole, half = divmod(min(halves, 2 * reach), 2)
    edge = (glyphs.left if over else glyphs.right) if half else ""
    if over:
        end = cells.put(centre + 1, 0, glyphs.solid * whole, style)
        cells.put(end, 0, edge, style)
        if halves > 2 * reach:
            cells.put(centre + reach, 0, glyphs.off_right, style)
    else:
        cells.put(centre - whole, 0, glyphs.solid * whole, style)
        cells.put(centre - whole - len(edge), 0, edge, style)
        if halves > 2 * reach:
            cells.put(centre - reach, 0, glyphs.off_left, style)
