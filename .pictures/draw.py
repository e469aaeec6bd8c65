"""Draws the README's picture of the brew screen from a recording.

Run from the top of the project: ``PYTHONPATH=. python .pictures/draw.py``.

Textual's own export sets blocks as text, with gaps where the reader's font is lower than its row,
and fetches a font from the network. Here blocks and dots are shapes and the rest is any
monospaced font.
"""

import asyncio
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from pourcoach.pipeline import Pipeline
from pourcoach.recordings.tape import read_tape
from pourcoach.tui.renderables.glyphs import FULL
from tests.tui.conftest import BrewApp, strips_of
from tests.tui.fake_sessions import FakeBrew

TAPE = Path("recordings/surge.jsonl")
AT_S = 108.4
COLUMNS, ROWS = 100, 30
OUT = Path(".pictures/brew.svg")
CELL_WIDTH, CELL_HEIGHT, FONT_SIZE, EDGE = 10, 20, 16, 10

HALVES = {FULL.solid: 15, FULL.upper: 3, FULL.lower: 12, FULL.left: 5, FULL.right: 10}
QUADRANTS = {character: mask for mask, character in enumerate(FULL.quadrants) if mask} | HALVES
# Row and column of each bit of a braille pattern (Unicode, chapter 21).
DOTS = ((0, 0), (1, 0), (2, 0), (0, 1), (1, 1), (2, 1), (3, 0), (3, 1))


async def rows() -> list[Any]:
    """The screen at AT_S on the tape."""
    tape = read_tape(TAPE)
    pipeline = Pipeline(tape.header.plan, tape.header.setup)
    session = FakeBrew(tape.header.plan)
    app = BrewApp(session)
    async with app.run_test(size=(COLUMNS, ROWS)) as pilot:
        await pilot.pause()
        session.feed(*(pipeline.feed(item) for item in tape.inputs if item.t_s <= AT_S))
        await pilot.pause(0.2)
        return strips_of(app)


def svg(strips: list[Any]) -> str:
    """The rows as one drawing."""
    width, height = COLUMNS * CELL_WIDTH + 2 * EDGE, ROWS * CELL_HEIGHT + 2 * EDGE
    ground = list(strips[-1])[-1].style.bgcolor.get_truecolor().hex
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'font-family="ui-monospace, Menlo, Consolas, DejaVu Sans Mono, monospace" '
        f'font-size="{FONT_SIZE}" shape-rendering="crispEdges">',
        f'<rect width="{width}" height="{height}" rx="8" fill="{ground}"/>',
    ]
    for row, strip in enumerate(strips):
        column = 0
        for segment in strip:
            parts += _segment(segment, EDGE + column * CELL_WIDTH, EDGE + row * CELL_HEIGHT)
            column += segment.cell_length
    return "\n".join([*parts, "</svg>", ""])


def _segment(segment: Any, x: float, y: float) -> Iterator[str]:
    ink = segment.style.color.get_truecolor().hex
    ground = segment.style.bgcolor.get_truecolor().hex
    yield _box(x, y, len(segment.text) * CELL_WIDTH, CELL_HEIGHT, ground)
    weight = ' font-weight="bold"' if segment.style.bold else ""
    for index, character in enumerate(segment.text):
        left = x + index * CELL_WIDTH
        if character in QUADRANTS:
            yield from _blocks(QUADRANTS[character], left, y, ink)
        elif 0x2800 < ord(character) < 0x2900:
            yield from _braille(ord(character) - 0x2800, left, y, ink)
        elif character in "─═╪│┤└":
            yield from _lines(character, left, y, ink)
        elif character != " ":
            yield (
                f'<text x="{left}" y="{y + 0.75 * CELL_HEIGHT}" fill="{ink}"{weight}>'
                f"{escape(character)}</text>"
            )


def _box(x: float, y: float, width: float, height: float, fill: str) -> str:
    return f'<rect x="{x:g}" y="{y:g}" width="{width:g}" height="{height:g}" fill="{fill}"/>'


def _blocks(mask: int, x: float, y: float, ink: str) -> Iterator[str]:
    half_width, half_height = CELL_WIDTH / 2, CELL_HEIGHT / 2
    if mask == 15:
        yield _box(x, y, CELL_WIDTH, CELL_HEIGHT, ink)
        return
    for bit in range(4):
        if mask & 1 << bit:
            lower, right = divmod(bit, 2)
            yield _box(
                x + right * half_width, y + lower * half_height, half_width, half_height, ink
            )


def _braille(mask: int, x: float, y: float, ink: str) -> Iterator[str]:
    for bit, (down, right) in enumerate(DOTS):
        if mask & 1 << bit:
            at_x, at_y = x + (right + 0.5) * CELL_WIDTH / 2, y + (down + 0.5) * CELL_HEIGHT / 4
            yield f'<circle cx="{at_x:g}" cy="{at_y:g}" r="1.5" fill="{ink}"/>'


def _lines(character: str, x: float, y: float, ink: str) -> Iterator[str]:
    middle_x, middle_y = x + CELL_WIDTH / 2, y + CELL_HEIGHT / 2
    if character in "─":
        yield _box(x, middle_y, CELL_WIDTH, 1, ink)
    if character in "═╪":
        yield _box(x, middle_y - 2, CELL_WIDTH, 1, ink)
        yield _box(x, middle_y + 2, CELL_WIDTH, 1, ink)
    if character in "│┤╪":
        yield _box(middle_x, y, 1, CELL_HEIGHT, ink)
    if character in "┤":
        yield _box(x, middle_y, CELL_WIDTH / 2, 1, ink)
    if character in "└":
        yield _box(middle_x, y, 1, CELL_HEIGHT / 2, ink)
        yield _box(middle_x, middle_y, CELL_WIDTH / 2, 1, ink)


if __name__ == "__main__":
    OUT.write_text(svg(asyncio.run(rows())), encoding="utf-8")
