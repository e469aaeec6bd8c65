"""Block letters, as text."""

import string

import pytest

from pourcoach.domain.advice import Word
from pourcoach.tui.renderables.block_text import (
    ROWS,
    SMALL_ROWS,
    block_text,
    block_width,
    small_block_text,
)
from pourcoach.tui.renderables.glyphs import ASCII, FULL

# The narrowest screen with two columns a stroke, less what the weight beside the word takes.
WIDEST_WORD = 41


def test_a_word_in_blocks() -> None:
    assert block_text("Stop", FULL, stroke=2, gap=1) == (
        "██████ ██████ ██████ ██████",
        "██       ██   ██  ██ ██  ██",
        "██████   ██   ██  ██ ██████",
        "    ██   ██   ██  ██ ██    ",
        "██████   ██   ██████ ██    ",
    )


def test_a_weight_in_ascii() -> None:
    assert block_text("-4.5", ASCII, stroke=1, gap=1) == (
        "    # #   ###",
        "    # #   #  ",
        "### ###   ###",
        "      #     #",
        "      # # ###",
    )


def test_a_time_in_three_rows() -> None:
    assert small_block_text("1:02", FULL) == (
        "▄█  ▄ █▀█ ▀▀█",
        " █  ▄ █ █ █▀▀",
        "▀▀▀   ▀▀▀ ▀▀▀",
    )


def test_without_half_blocks_three_rows_are_plain_text() -> None:
    assert small_block_text("1:02", ASCII) == ("", "1:02", "")


@pytest.mark.parametrize("stroke", [1, 2])
@pytest.mark.parametrize("gap", [1, 2])
def test_rows_are_as_wide_as_specified(stroke: int, gap: int) -> None:
    for text in [*(word.value for word in Word), "0123456789.:-+", "", " ", "é"]:
        rows = block_text(text, FULL, stroke, gap)
        assert [len(row) for row in rows] == [block_width(text, stroke, gap)] * ROWS
        assert len(set(map(len, small_block_text(text, FULL)))) == 1
        assert len(small_block_text(text, FULL)) == SMALL_ROWS


def test_every_word_fits_beside_the_weight() -> None:
    widths = {word.value: block_width(word.value, 2, 1) for word in Word}
    assert {word: width for word, width in widths.items() if width > WIDEST_WORD} == {}


def test_no_two_characters_look_alike() -> None:
    """But for O and 0, and S and 5, which one reads from where they stand."""
    seen: dict[tuple[str, ...], str] = {}
    twins = set()
    for character in string.ascii_uppercase + string.digits + "?!.:-+/%":
        rows = block_text(character, FULL)
        if rows in seen:
            twins.add(seen[rows] + character)
        seen[rows] = character
    assert twins == {"O0", "S5"}
