"""The stage table of a review on a screen."""

from collections.abc import Sequence

from pourcoach.reports.brew.stage_table import HEADINGS, NUMBERS, StageRow
from pourcoach.reports.columns import in_columns
from pourcoach.tui.renderables.cells import Cells
from pourcoach.tui.renderables.palette import Palette

MARGIN = 2
MORE = ", ..."
# By their places in HEADINGS; the stage and how far it was poured are never left out.
_ALL = tuple(range(len(HEADINGS)))
_WITHOUT_FLOW = (0, 1, 2, 3, 6, 7)
_WITHOUT_TIME = (0, 1, 2, 6, 7)
_LEAST = (0, 1, 2)
_ROOMS = ((96, _ALL), (72, _WITHOUT_FLOW), (56, _WITHOUT_TIME), (0, _LEAST))


def draw_stage_list(
    rows: Sequence[StageRow], picked: int | None, width: int, height: int, palette: Palette
) -> Cells:
    """A line of headings and a numbered line a stage; the one picked in reverse."""
    dim = palette.on_ground(palette.dim)
    ink = palette.on_ground(palette.text.ink)
    cells = Cells(width, height, ink)
    if not rows:
        return cells
    places = next(places for least, places in _ROOMS if width >= least)
    texts = [[HEADINGS[place] for place in places]]
    texts[0][0] = f"  {texts[0][0]}"
    for number, row in enumerate(rows, 1):
        line = [row.cells[place] for place in places]
        line[0] = f"{number if number <= 9 else ' '} {line[0]}"
        texts.append(line)
    right = frozenset(at for at, place in enumerate(places) if place in NUMBERS)
    head, *lines = in_columns(texts, right=right)
    cells.put(MARGIN, 0, head, dim)
    for down, (text, row) in enumerate(zip(lines, rows, strict=True)):
        style = palette.target.style(bold=True) if down == picked else ink
        if down == picked:
            cells.fill(1 + down, style)
        cells.put(MARGIN, 1 + down, _fitting(text, row.note, width - MARGIN), style)
    return cells


def _fitting(line: str, note: str, room: int) -> str:
    """``line``, which ends with ``note``, or as many whole kinds of it as there is room for."""
    if len(line) <= room:
        return line
    note_at = len(line) - len(note)
    comma = line.rfind(",", note_at, max(note_at, room - len(MORE)))
    return line[:room] if comma < 0 else line[:comma] + MORE
