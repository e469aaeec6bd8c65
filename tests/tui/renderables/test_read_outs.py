"""The side column: no digit is ever cut off."""

import pytest

from pourcoach.tui.renderables.block_text import small_block_text
from pourcoach.tui.renderables.glyphs import ASCII, FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK
from pourcoach.tui.renderables.read_outs import MARGIN, draw_read_outs


@pytest.mark.parametrize("glyphs", [FULL, ASCII])
@pytest.mark.parametrize("width", [20, 22])
@pytest.mark.parametrize("value", ["0.0", "+11.3", "-38.4", "+612.0", "+9999", "-999", "--.-"])
def test_every_digit_is_shown(value: str, width: int, glyphs: Glyphs) -> None:
    """With its decimal, without it, or as text."""
    cells = draw_read_outs((("OFF g", value),), width, 4, glyphs, DARK)
    rows = cells.text().split("\n")[1:]
    whole = value.partition(".")[0]
    drawn = [
        [f"{' ' * MARGIN}{row}".rstrip() for row in rows_of]
        for rows_of in (
            small_block_text(value, glyphs),
            small_block_text(whole, glyphs),
            ("", value, ""),
        )
    ]
    assert rows in drawn


def test_a_tenth_is_kept_where_there_is_room_for_it() -> None:
    cells = draw_read_outs((("OFF g", "+11.3"),), 20, 4, FULL, DARK)
    expected = [f"{' ' * MARGIN}{row}".rstrip() for row in small_block_text("+11.3", FULL)]
    assert cells.text().split("\n")[1:] == expected
