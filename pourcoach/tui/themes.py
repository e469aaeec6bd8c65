"""The palettes as Textual themes, so that stylesheets and drawn cells agree.

A stylesheet finds ``$ink``, ``$ground``, ``$dim`` and, for each tone, ``$wait-ink``,
``$wait-ground``, ``$target-ink`` … beside Textual's own names.
"""

from typing import Any

from textual.app import App
from textual.theme import Theme

from pourcoach.tui.renderables.palette import DARK, PALETTES, Palette


def theme(palette: Palette) -> Theme:
    """A Textual theme of the palette's name and colours."""
    return Theme(
        name=palette.name,
        primary=palette.target.ground,
        secondary=palette.curve,
        warning=palette.act.ground,
        accent=palette.act.ground if palette.dark else palette.target.ground,
        foreground=palette.text.ink,
        background=palette.text.ground,
        surface=palette.wait.ground,
        panel=palette.wait.ground,
        dark=palette.dark,
        variables=variables(palette),
    )


def variables(palette: Palette) -> dict[str, str]:
    """Our own names, for the app's ``get_theme_variable_defaults``: a theme that is none of ours
    does not have them.
    """
    return {
        "ink": palette.text.ink,
        "ground": palette.text.ground,
        "dim": palette.dim,
        "wait-ink": palette.wait.ink,
        "wait-ground": palette.wait.ground,
        "target-ink": palette.target.ink,
        "target-ground": palette.target.ground,
        "act-ink": palette.act.ink,
        "act-ground": palette.act.ground,
    }


def use_palette(app: App[Any], palette: Palette) -> None:
    """Make all palettes known to ``app`` and put ``palette`` on."""
    for each in PALETTES.values():
        app.register_theme(theme(each))
    app.theme = palette.name


def palette_of(app: App[Any]) -> Palette:
    """The palette in force; the dark one under a theme that is none of ours."""
    return PALETTES.get(app.theme, DARK)
