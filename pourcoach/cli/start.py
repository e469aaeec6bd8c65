"""Bare ``pourcoach``: the start screen."""

from pourcoach.cli.settings_option import user_settings


def run() -> int:
    """Show the start screen until it is left."""
    settings = user_settings()
    from pourcoach.tui.app import run_start  # Textual: a third of a second to import

    run_start(settings, glyphs=settings.glyphs, theme=settings.theme, mouse=True)
    return 0
