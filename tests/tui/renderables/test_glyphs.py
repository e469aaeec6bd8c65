"""Glyph sets: what each may hold, and which one a terminal gets."""

from dataclasses import fields

import pytest
from rich.cells import cell_len

from pourcoach.domain.advice import Word
from pourcoach.domain.errors import UsageError
from pourcoach.tui.renderables.glyphs import ASCII, CP437, FULL, GLYPH_SETS, Glyphs, choose_glyphs

# Code page 437 gives these to its control codes; the codec that Python has leaves them out.
CP437_CONTROLS = "☺☻♥♦♣♠•◘○◙♂♀♪♫☼►◄↕‼¶§▬↨↑↓→←∟↔▲▼"


def characters(glyphs: Glyphs) -> str:
    drawn = [getattr(glyphs, field.name) for field in fields(glyphs) if field.name != "name"]
    return "".join("".join(value.values()) if isinstance(value, dict) else value for value in drawn)


@pytest.mark.parametrize("glyphs", GLYPH_SETS.values(), ids=GLYPH_SETS)
def test_every_glyph_is_one_column_wide(glyphs: Glyphs) -> None:
    assert [c for c in characters(glyphs) if cell_len(c) != 1] == []
    assert len(glyphs.quadrants) == 16
    assert set(glyphs.marks) == set(Word)


def test_ascii_is_ascii() -> None:
    assert characters(ASCII).isascii()


def test_cp437_holds_only_what_the_code_page_has() -> None:
    outside = []
    for character in characters(CP437):
        if character in CP437_CONTROLS:
            continue
        try:
            character.encode("cp437")
        except UnicodeEncodeError:
            outside.append(character)
    assert outside == []


@pytest.mark.parametrize(
    ("wanted", "encoding", "environ", "platform", "glyphs"),
    [
        ("auto", "utf-8", {"TERM": "xterm-256color"}, "linux", FULL),
        ("auto", "UTF-8", {}, "darwin", FULL),
        ("auto", "utf-8", {"TERM": "linux"}, "linux", CP437),
        ("auto", "utf-8", {}, "win32", CP437),
        ("auto", "utf-8", {"WT_SESSION": "x"}, "win32", FULL),
        ("auto", "ISO-8859-1", {"TERM": "xterm"}, "linux", ASCII),
        ("auto", None, {}, "linux", ASCII),
        ("ascii", "utf-8", {}, "linux", ASCII),
        ("full", "ascii", {"TERM": "linux"}, "linux", FULL),
    ],
)
def test_choose_glyphs(
    wanted: str, encoding: str | None, environ: dict[str, str], platform: str, glyphs: Glyphs
) -> None:
    chosen = choose_glyphs(wanted, encoding=encoding, environ=environ, platform=platform)
    assert chosen is glyphs


def test_an_unknown_set_is_named() -> None:
    with pytest.raises(UsageError, match="'emoji'"):
        choose_glyphs("emoji", encoding="utf-8", environ={}, platform="linux")
