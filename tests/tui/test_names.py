"""The names that settings and options take are the names that the screens know."""

from pourcoach.session.settings import GLYPHS, THEMES
from pourcoach.tui.renderables.glyphs import choose_glyphs
from pourcoach.tui.renderables.palette import PALETTES, choose_palette


def test_every_theme_that_may_be_set_can_be_worn() -> None:
    assert set(THEMES) == {"auto", *PALETTES}
    for name in THEMES:
        assert choose_palette(name, 256).label


def test_every_set_of_glyphs_that_may_be_set_can_be_drawn() -> None:
    for name in GLYPHS:
        assert choose_glyphs(name, encoding="utf-8", environ={}, platform="linux").name
