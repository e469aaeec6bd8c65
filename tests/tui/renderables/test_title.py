"""The name is as large as there is room for."""

import pytest

from pourcoach.tui.renderables.block_text import block_text, small_block_text
from pourcoach.tui.renderables.glyphs import ASCII, FULL
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.renderables.title import MARGIN, NAME, draw_title

LARGE = block_text(NAME, FULL)
NARROW = block_text(NAME, FULL, 1, 1)
SMALL = small_block_text(NAME, FULL)
PLAIN = (NAME,)


def room_for(head: tuple[str, ...]) -> int:
    return len(head[0]) + 2 * MARGIN


@pytest.mark.parametrize(
    ("width", "height", "head"),
    [
        (room_for(LARGE), len(LARGE) + 1, LARGE),
        (room_for(LARGE) - 1, len(LARGE) + 1, NARROW),
        (room_for(LARGE), len(LARGE), SMALL),
        (room_for(NARROW), len(NARROW) + 1, NARROW),
        (room_for(NARROW) - 1, len(NARROW) + 1, PLAIN),
        (room_for(SMALL), len(SMALL) + 1, SMALL),
        (room_for(SMALL) - 1, len(SMALL) + 1, PLAIN),
        (room_for(SMALL), len(SMALL), PLAIN),
    ],
)
def test_the_largest_head_with_a_row_below_it_is_taken(
    width: int, height: int, head: tuple[str, ...]
) -> None:
    rows = draw_title("Good morning", width, height, FULL, DARK).text().split("\n")
    assert [row[MARGIN:].rstrip() for row in rows[: len(head)]] == [row.rstrip() for row in head]
    assert rows[len(head)].strip() == "Good morning"


def test_a_higher_panel_leaves_a_row_above() -> None:
    height = len(LARGE) + 2
    rows = draw_title("Good morning", room_for(LARGE), height, FULL, DARK).text().split("\n")
    assert rows[0].strip() == ""
    assert rows[1][MARGIN:].rstrip() == LARGE[0].rstrip()


def test_without_half_blocks_the_name_is_plain_text() -> None:
    rows = draw_title("Good morning", 40, 4, ASCII, DARK).text().split("\n")
    assert NAME in rows[1]
