"""A page of help at any width."""

import pytest

from pourcoach.domain.advice import Word
from pourcoach.tui.dialogs.help_pages import (
    REVIEW_PAGE,
    START_PAGE,
    STRENGTH_PAGE,
    WATER_PAGE,
    brew_help,
    replay_page,
)
from pourcoach.tui.renderables.glyphs import ASCII, FULL
from pourcoach.tui.renderables.page import Page, Table, page_text

PAGES = {
    "brew": brew_help(),
    "replay": replay_page(FULL),
    "replay-ascii": replay_page(ASCII),
    "review": REVIEW_PAGE,
    "start": START_PAGE,
    "strength": STRENGTH_PAGE,
    "water": WATER_PAGE,
}
TABLE = Table((("t", "tare"), ("m", "mark this moment, to find it again")))


def words_of(page: Page) -> list[str]:
    parts = []
    for part in page:
        rows = part.rows if isinstance(part, Table) else ((part, ""),)
        parts += [word for row in rows for cell in row for word in cell.split()]
    return parts


@pytest.mark.parametrize("width", [76, 55, 35, 12])
@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_cut_off(name: str, width: int) -> None:
    text = page_text(PAGES[name], width)
    assert "".join(text.split()) == "".join(words_of(PAGES[name]))
    assert max(map(len, text.split("\n"))) <= width


def test_what_a_key_means_stands_beside_it_and_goes_on_below_itself() -> None:
    assert page_text((TABLE,), 30) == ("t  tare\nm  mark this moment, to find\n   it again")


def test_where_it_would_be_squeezed_it_stands_below() -> None:
    assert page_text((TABLE,), 20) == ("t\n  tare\nm\n  mark this moment,\n  to find it again")


def test_a_line_that_is_too_wide_keeps_its_indent() -> None:
    assert page_text(("  - a knock in mid-pour",), 16) == "  - a knock in\n  mid-pour"


@pytest.mark.parametrize("word", Word)
def test_every_word_is_explained(word: Word) -> None:
    for page in (brew_help(), replay_page(FULL)):
        tables = [part for part in page if isinstance(part, Table)]
        meanings = {name: meaning for table in tables for name, meaning in table.rows}
        assert meanings[word.value]
