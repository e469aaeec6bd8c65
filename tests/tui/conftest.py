"""The app around a brew screen, a screen as text, and its goldens."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from rich.style import Style
from textual.app import App
from textual.strip import Strip

from pourcoach.domain.frame import Frame
from pourcoach.domain.plan import Plan
from pourcoach.tui.brew.brew_screen import BrewScreen
from pourcoach.tui.renderables.glyphs import FULL, Glyphs
from pourcoach.tui.renderables.palette import DARK, Palette
from pourcoach.tui.themes import use_palette, variables
from tests.tui.fake_sessions import FakeBrew, FakeReplay
from tests.tui.made_frames import PLAN, make_brew, make_frame
from tests.tui.quiet import until_quiet

GOLDENS = Path(__file__).parent / "goldens"


class BrewApp(App[Any]):
    """As little as a brew screen needs."""

    def __init__(self, session: Any, glyphs: Glyphs = FULL, palette: Palette = DARK) -> None:
        super().__init__()
        self.brew_screen = BrewScreen(session, glyphs)
        self.left_how: Any = None
        self._palette = palette

    def get_theme_variable_defaults(self) -> dict[str, str]:
        return variables(DARK)

    def on_mount(self) -> None:
        use_palette(self, self._palette)
        self.push_screen(self.brew_screen, self._left)

    def _left(self, how: Any) -> None:
        self.left_how = how


def text_of(app: App[Any]) -> str:
    """What stands on the screen, rows cut at their last ink."""
    return "\n".join(strip.text.rstrip() for strip in strips_of(app))


def strips_of(app: App[Any]) -> list[Strip]:
    """The screen's rows. The one use of Textual's compositor, which it keeps to itself."""
    return app.screen._compositor.render_strips()


def colours_on(app: App[Any]) -> set[str]:
    """All colours of the screen's cells; "none" where a cell has none of its own."""
    colours = set()
    for strip in strips_of(app):
        for segment in strip:
            style = segment.style or Style.null()
            for colour in (style.color, style.bgcolor):
                colours.add("none" if colour is None else colour.get_truecolor().hex)
    return colours


@pytest.fixture(autouse=True)
def patience(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy machine must not look like a scale that is lost; who tests that sets its own."""
    monkeypatch.setattr("pourcoach.tui.brew.brew_screen.STALE_S", 60.0)


@pytest.fixture(autouse=True)
def by_the_loop(monkeypatch: pytest.MonkeyPatch) -> None:
    """A pilot waits for what is queued, not for a time in which the machine does little."""
    for module in ("app", "pilot"):
        monkeypatch.setattr(f"textual.{module}.wait_for_idle", until_quiet)


@pytest.fixture
def plan() -> Plan:
    return PLAN


@pytest.fixture
def frame() -> Callable[..., Frame]:
    return make_frame


@pytest.fixture
def brew_until() -> Callable[[float], list[Frame]]:
    return make_brew


@pytest.fixture
def fake_brew() -> type[FakeBrew]:
    return FakeBrew


@pytest.fixture
def fake_replay() -> type[FakeReplay]:
    return FakeReplay


@pytest.fixture
def brew_app() -> type[BrewApp]:
    return BrewApp


@pytest.fixture
def screen_text() -> Callable[[App[Any]], str]:
    return text_of


@pytest.fixture
def golden() -> Callable[[str, str], None]:
    """Compare with ``goldens/NAME.txt``. With POURCOACH_REWRITE_GOLDENS=1 in the environment it
    is written instead: then look at what changed before it is committed.
    """

    def check(name: str, text: str) -> None:
        path = GOLDENS / f"{name}.txt"
        if os.environ.get("POURCOACH_REWRITE_GOLDENS") == "1":
            path.write_text(text + "\n", encoding="utf-8")
        assert text + "\n" == path.read_text(encoding="utf-8")

    return check
