"""Puts a session before the user: the screen, or lines of text where there is no terminal."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TypedDict

from pourcoach.cli.console.terminal import has_screen
from pourcoach.coaching.marking.rubric import Rubric
from pourcoach.domain.frame import Frame
from pourcoach.session.live import LiveBrew
from pourcoach.session.protocols import Session, SoundControls
from pourcoach.session.settings import GLYPHS, THEMES, Settings


def add_show_options(parser: argparse.ArgumentParser) -> None:
    """Give the parser the options of everything that is shown live."""
    group = parser.add_argument_group("screen")
    group.add_argument(
        "--plain",
        action="store_true",
        help="lines of text, as a pipe or a screen reader wants; 'brew' takes the same keys, or "
        "a command a line on a pipe",
    )
    group.add_argument(
        "--glyphs", choices=GLYPHS, help="which characters to draw with (default: the settings')"
    )
    group.add_argument("--theme", choices=THEMES, help="colours (default: the settings')")
    group.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")


class ScreenOptions(TypedDict):
    """How a screen is drawn and handled; glyphs and theme by their names."""

    glyphs: str
    theme: str
    mouse: bool


def screen_from(args: argparse.Namespace, settings: Settings) -> ScreenOptions:
    """What the options say, and the settings where they say nothing."""
    return {
        "glyphs": args.glyphs or settings.glyphs,
        "theme": args.theme or settings.theme,
        "mouse": not args.no_mouse,
    }


def is_plain(args: argparse.Namespace) -> bool:
    """Whether text is asked for, or is all that standard output can take."""
    return args.plain or not has_screen()


def show(
    session: Session,
    args: argparse.Namespace,
    settings: Settings,
    rubric: Rubric,
    *,
    tape: Path | None = None,
    again: Callable[[], LiveBrew] | None = None,
    sound: SoundControls | None = None,
) -> Frame | None:
    """Run the session to its end and give its last Frame; its review marks by ``rubric``.

    ``tape`` is its recording, ``again`` makes the next brew, where it is a person's; on a screen
    the review offers both. ``sound`` is what its keys act on.
    Raises what the session raises, after the terminal is restored.
    """
    if is_plain(args):
        from pourcoach.cli.console.plain_voice import run_plain

        return run_plain(session, rubric, by_hand=again is not None, sound=sound)
    # Textual: a third of a second to import
    from pourcoach.tui.flows import run_session
    from pourcoach.tui.session_view import SessionView

    def shown_again() -> SessionView:
        assert again is not None
        brew = again()
        return SessionView(brew.session, brew.tape.path, shown_again)

    return run_session(
        session,
        rubric,
        **screen_from(args, settings),
        tape=tape,
        again=None if again is None else shown_again,
        sound=sound,
    )
