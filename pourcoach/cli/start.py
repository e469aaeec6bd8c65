"""Bare ``pourcoach``: the start screen."""

from pourcoach.cli.options.settings_option import user_settings
from pourcoach.session.kept.keeping import take_up_lost_brews
from pourcoach.session.rubric_in_use import rubric_in_use


def run() -> int:
    """Show the start screen until it is left."""
    take_up_lost_brews()
    settings = user_settings()
    rubric = rubric_in_use()
    from pourcoach.tui.flows import run_start  # Textual: a third of a second to import

    run_start(settings, rubric, glyphs=settings.glyphs, theme=settings.theme, mouse=True)
    return 0
